package scenarios_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/controller"
	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// library is one feature file on the shipped sites.
func library(t *testing.T, feature string) *scenarios.Library {
	files := fstest.MapFS{"a.feature": {Data: []byte(feature)}}
	for _, name := range []string{"tern-lane", "rooftop-planters", "fish-house-sump"} {
		text, err := features.Files.ReadFile("sites/" + name + ".yaml")
		require.NoError(t, err)
		files["sites/"+name+".yaml"] = &fstest.MapFile{Data: text}
	}
	l, err := scenarios.Open(files)
	require.NoError(t, err)
	return l
}

const twoThens = `Feature: f
  Scenario: A long draw
    Given the site "tern-lane"
    When 200 L are drawn from "header-tank" within 10 min
    And 1 hour passes
    Then the level in "header-tank" stays above 400 mm
    And the level in "header-tank" stays below 800 mm
    And the valve "sprays" never opens
`

func TestEveryThenReportsAlsoAfterOneFailed(t *testing.T) {
	l := library(t, twoThens)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l,
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	require.Len(t, results, 1)
	require.Len(t, results[0].Verdicts, 3)
	assert.Equal(t, outcome.Failed, results[0].Verdicts[0].State)
	assert.Negative(t, results[0].Verdicts[0].Margin)
	assert.Equal(t, outcome.Held, results[0].Verdicts[1].State)
	assert.Equal(t, outcome.NotExercised, results[0].Verdicts[2].State, "a draw has nothing to do with the sprays")
	assert.Equal(t, outcome.Failed, results[0].Worst())
}

// What a stand does to a run must come out as the right kind of result.
func TestResultsOfStandsThatCannot(t *testing.T) {
	l := library(t, twoThens)
	real := stand.Builder(l.Site, stand.Simulated())
	for _, test := range []struct {
		name  string
		build harness.Builder
		want  outcome.State
		why   string
	}{
		{"cannot", func(context.Context, *harness.Script) (*harness.Stand, error) {
			return nil, &harness.CannotError{Reason: "no tank here"}
		}, outcome.NotRun, "no tank here"},
		{"error", func(context.Context, *harness.Script) (*harness.Stand, error) {
			return nil, errors.New("no such program")
		}, outcome.Broken, "no such program"},
		{"panic", func(context.Context, *harness.Script) (*harness.Stand, error) { panic("index out of range") },
			outcome.Broken, "a defect of this program: index out of range"},
		{"slow", func(ctx context.Context, s *harness.Script) (*harness.Stand, error) {
			time.Sleep(20 * time.Millisecond)
			return real(ctx, s)
		}, outcome.Broken, "the scenario took longer than 10ms of wall-clock time; --timeout gives it more"},
	} {
		t.Run(test.name, func(t *testing.T) {
			results, err := runs.Suite(t.Context(), runs.Options{Library: l, Runner: runs.On(test.build),
				Settings: runs.Settings{Timeout: 10 * time.Millisecond}})
			require.NoError(t, err)
			require.Len(t, results[0].Verdicts, 3)
			for _, v := range results[0].Verdicts {
				assert.Equal(t, test.want, v.State)
				assert.Contains(t, v.Why, test.why)
			}
		})
	}
}

func TestAScenarioThatDoesNotCompileIsAResult(t *testing.T) {
	l := library(t, strings.Replace(twoThens, "tank\" within", "tnak\" within", 1)+`
  Scenario: Another
    Given the site "tern-lane"
    When the wind blows
    And 1 hour passes
    Then no alert arrives
`)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l,
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	require.Len(t, results, 2)
	for _, r := range results {
		assert.Equal(t, outcome.Broken, r.Worst())
		var problems scenarios.Problems
		assert.ErrorAs(t, r.Err, &problems)
	}
	assert.ErrorContains(t, results[0].Err,
		`a.feature:4: read "header-tnak"; expected a tank of the site (header-tank); did you mean "header-tank"?`)
	assert.ErrorContains(t, results[1].Err, `a.feature:12: read "the wind blows"`)
}

func TestRunRefuses(t *testing.T) {
	for _, test := range []struct {
		name, feature string
		selection     scenarios.Selection
		want          string
	}{
		{"nothing selected", twoThens, scenarios.Selection{Names: []string{"flood"}}, "nothing is selected"},
		{"an old filter of tags", twoThens, scenarios.Selection{Tags: "~@a"}, `write "not @a"`},
		{"no feature", "", scenarios.Selection{}, "the file has no Feature"},
		{"a feature without scenarios", "Feature: f\n", scenarios.Selection{}, "there are no scenarios"},
		{"a scenario without steps", "Feature: f\n  Scenario: s\n", scenarios.Selection{},
			"a.feature:2: the scenario has no steps"},
		{"an outline without rows", "Feature: f\n  Scenario Outline: s\n    Given the site \"<x>\"\n    Examples:\n      | x |\n",
			scenarios.Selection{}, "a.feature:2:3: the outline has no row of examples"},
		{"not Gherkin", "Feature: f\n  Scenario: s\n    Whenever it rains\n    Given x\n    Foo\n",
			scenarios.Selection{}, `a.feature:5:5: read "Foo"; expected a step that begins with Given`},
	} {
		t.Run(test.name, func(t *testing.T) {
			l := library(t, test.feature)
			_, err := runs.Suite(t.Context(), runs.Options{Library: l, Select: test.selection,
				Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
			assert.ErrorContains(t, err, test.want)
		})
	}
}

// The order of the results is that of the files, and each is the same, however many scenarios run at once.
func TestResultsDoNotDependOnTheSchedule(t *testing.T) {
	l := shipped(t)
	var first []*harness.Result
	for _, concurrency := range []int{1, 8} {
		called := 0
		results, err := runs.Suite(t.Context(), runs.Options{Library: l, Settings: runs.Settings{Seed: 7},
			Concurrency: concurrency,
			Select:      scenarios.Selection{Tags: "@hazard-flood"}, Runner: runs.On(stand.Builder(l.Site,
				stand.Simulated())), OnResult: func(*harness.Result) { called++ }})
		require.NoError(t, err)
		assert.Equal(t, len(results), called, "OnResult is called once a scenario")
		if first == nil {
			first = results
			continue
		}
		require.Len(t, results, len(first))
		for i := range results {
			assert.Equal(t, first[i].Script.Line, results[i].Script.Line)
			assert.Equal(t, first[i].Verdicts, results[i].Verdicts, first[i].Script.Name)
		}
	}
}

func TestACancelledRunHasResults(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	l := library(t, twoThens)
	results, err := runs.Suite(ctx, runs.Options{Library: l, Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	assert.Equal(t, outcome.NotRun, results[0].Worst(), "%v", results[0].Err)
}

// A sound controller whose firmware looks at its terminals every 20 ms only must pass as well.
func TestASoundVariantPasses(t *testing.T) {
	for _, r := range run(t, scenarios.Selection{}, controller.Polling(20*signal.Millisecond)) {
		assert.Equal(t, outcome.Held, r.Worst(), "%s\n%s", r.Script.Name, whys(r))
	}
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "sites"), 0o755))
	site, err := features.Files.ReadFile("sites/tern-lane.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sites", "my-yard.yaml"), site, 0o644))
	file := filepath.Join(dir, "a.feature")
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(twoThens, "tern-lane", "my-yard", 1)), 0o644))

	for name, paths := range map[string][]string{"file": {file}, "folder": {dir}, "file and folder": {file, dir}} {
		t.Run(name, func(t *testing.T) {
			l, spots, err := scenarios.Load(features.Files, paths)
			require.NoError(t, err)
			assert.Empty(t, spots)
			assert.Contains(t, l.Sites(), "my-yard")
			assert.Contains(t, l.Sites(), "fish-house-sump", "the shipped sites are there as well")
			all, problems := l.Cases()
			assert.Empty(t, problems)
			assert.Len(t, all, 1)
		})
	}
	l, spots, err := scenarios.Load(features.Files, []string{file + ":5"})
	require.NoError(t, err)
	require.Len(t, spots, 1)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l, Select: scenarios.Selection{Spots: spots},
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	assert.Equal(t, "my-yard", results[0].Script.Site)

	_, _, err = scenarios.Load(features.Files, []string{filepath.Join(dir, "b.feature")})
	assert.ErrorContains(t, err, "expected a feature file, a folder of them or a site file")
	_, _, err = scenarios.Load(features.Files, []string{os.Args[0]})
	assert.ErrorContains(t, err, "neither a feature file nor a site file")
	l, _, err = scenarios.Load(features.Files, nil)
	require.NoError(t, err)
	all, _ := l.Cases()
	assert.GreaterOrEqual(t, len(all), 25, "without paths, the shipped suite")
}

func TestCheck(t *testing.T) {
	_, problems, err := scenarios.Check(t.Context(), shipped(t), scenarios.Selection{})
	require.NoError(t, err)
	assert.Empty(t, problems, "the shipped suite has problems")

	l, err := scenarios.Open(fstest.MapFS{
		"a.feature":      {Data: []byte(twoThens)},
		"b.feature":      {Data: []byte("Feature: f\n  Scenario: s\n    Given x\n\n    Whenever y\n")},
		"sites/bad.yaml": {Data: []byte("site: Bad\ntanks:\n  - {name: t, rim: 2 bar}\n")},
	})
	require.NoError(t, err)
	_, problems, err = scenarios.Check(t.Context(), l, scenarios.Selection{})
	require.NoError(t, err)
	text := problems.Error()
	assert.Contains(
		t,
		text,
		"sites/bad.yaml:3:20: read \"2 bar\": bar measures a pressure; expected a length, e.g. 560 mm, 28 m or 3/4 in\n"+
			"  3 |   - {name: t, rim: 2 bar}\n    |                    ^\n",
		"the mistake is not shown with its place",
	)
	assert.Contains(t, text, `b.feature:5:5: read "Whenever y"; expected a step`)
	assert.Contains(t, text, `a.feature:3: there is no site "tern-lane"`)

	_, _, err = scenarios.Check(t.Context(), shipped(t), scenarios.Selection{Tags: "@hazard-flod"})
	assert.EqualError(t, err, "no scenario has the tag @hazard-flod; did you mean @hazard-flood?")
}

// Every hazard that the suite is about has a file of its own, whose scenarios carry its tag, and there are enough of
// them.
func TestTheSuiteIsComplete(t *testing.T) {
	all, problems := shipped(t).Cases()
	require.Empty(t, problems)
	assert.GreaterOrEqual(t, len(all), 30)
	good, sites, names := 0, map[string]bool{}, map[string]bool{}
	for _, sc := range all {
		hazard := strings.TrimSuffix(sc.File, ".feature")
		assert.Contains(t, sc.Tags, "@hazard-"+hazard, sc.Name)
		assert.NotEmpty(t, sc.Rule, "%s: %s stands under no Rule", sc.File, sc.Name)
		assert.False(t, names[sc.Name], "two scenarios are called %q", sc.Name)
		names[sc.Name] = true
		for _, tag := range sc.Tags {
			if tag == "@good-day" {
				good++
			}
		}
		sites[sc.Script(1).Site] = true
	}
	assert.GreaterOrEqual(t, good, 5, "good days")
	assert.Len(t, sites, len(shipped(t).Sites()), "all shipped sites are used")
	for _, hazard := range fault.Hazards() {
		_, err := features.Files.Open(strings.ReplaceAll(string(hazard), " ", "-") + ".feature")
		assert.NoError(t, err)
	}
}

// modest is a controller that claims less than it can.
type modest struct {
	harness.Controller
	harness.Turnable
	can []harness.Ability
}

func (m modest) Can() harness.Abilities {
	can := harness.Abilities{}
	for _, a := range m.can {
		can[a] = true
	}
	return can
}

// A small controller runs the scenarios that its abilities allow; the others say what it lacks.
func TestASmallControllerRunsWhatItCan(t *testing.T) {
	l := shipped(t)
	full := stand.Builder(l.Site, stand.Simulated())
	small := func(ctx context.Context, script *harness.Script) (*harness.Stand, error) {
		s, err := full(ctx, script)
		if err == nil {
			s.Controller = modest{s.Controller, s.Controller.(harness.Turnable),
				[]harness.Ability{harness.FillRule, harness.LongestRun, harness.CutOff, harness.Interlock,
					harness.Alerts}}
		}
		return s, err
	}
	results, err := runs.Suite(t.Context(), runs.Options{Library: l, Runner: runs.On(small)})
	require.NoError(t, err)
	held := 0
	for _, r := range results {
		switch r.Worst() {
		case outcome.Held:
			held++
		case outcome.NotRun:
			assert.Regexp(t, "^this controller does not offer: ", r.Verdicts[0].Why)
		default:
			assert.Fail(t, "neither held nor not run", "%s: %v", r.Script.Name, r.Worst())
		}
		t.Log(r.Worst(), r.Script.Name, r.Script.Needs)
	}
	assert.GreaterOrEqual(t, held, 10,
		"scenarios that a controller can run which fills, cuts off and protects its pump")
	assert.Less(t, held, len(results), "everything was run, also what needs more")
}

// The high contact operates at 720 mm, give or take 10 mm: a limit of 728 mm holds on the site as drawn and is lost
// where the contact hangs high.
const thinMargin = `Feature: f
  Scenario: A fill
    Given the site "tern-lane"
    When 200 L are drawn from "header-tank" within 10 min
    And 1 hour passes
    Then the level in "header-tank" stays below 728 mm
    And the level in "header-tank" stays below 800 mm
`

func TestAMarginWithinTheTolerancesIsThin(t *testing.T) {
	l := library(t, thinMargin)
	for _, nominal := range []bool{false, true} {
		results, err := runs.Suite(t.Context(), runs.Options{Library: l, Settings: runs.Settings{Nominal: nominal},
			Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
		require.NoError(t, err)
		first, second := results[0].Verdicts[0], results[0].Verdicts[1]
		require.Equal(t, outcome.Held, first.State, first.Why)
		require.Equal(t, outcome.Held, second.State, second.Why)
		if nominal {
			assert.Empty(t, first.Marginal, "the limits of the tolerances must be skipped")
			continue
		}
		assert.Contains(t, first.Marginal, "tank-high operates 730 mm",
			"8 mm hold only while the contact hangs where it is drawn")
		assert.Empty(t, second.Marginal, "80 mm are more than the tolerances can lose")
	}
}

// The cloud does not see that the power went, only that somebody connects again.
func TestConnectedAfterAPowerCut(t *testing.T) {
	l := library(t, `Feature: f
  Scenario: A short power cut
    Given the site "tern-lane"
    When the power goes off for 3 s
    And 10 min pass
    Then the controller is connected within 30 s of the power returning
    And the controller is connected within 6 s
`)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l,
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	v := results[0].Verdicts
	assert.Equal(t, outcome.Held, v[0].State, v[0].Why)
	assert.InDelta(t, 26.5, v[0].Margin, 1e-6, "1.5 s to boot and 2 s to join")
	assert.Equal(t, outcome.Failed, v[1].State, "3 s without power, 1.5 s to boot and 2 s to join are more than 6 s")
	assert.InDelta(t, -0.5, v[1].Margin, 1e-6)
}

// Some editors begin a file with a byte order mark and end lines as Windows does.
func TestByteOrderMarkAndWindowsLines(t *testing.T) {
	l := library(t, "\ufeff"+strings.ReplaceAll(twoThens, "\n", "\r\n"))
	_, problems, err := scenarios.Check(t.Context(), l, scenarios.Selection{})
	require.NoError(t, err)
	assert.Empty(t, problems)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l,
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	assert.Len(t, results, 1)
}

// Each fault and each stimulus has to matter: a valve that sticks and is never opened proves nothing, whatever else
// happens.
func TestAFaultThatNeverActsIsNotExercised(t *testing.T) {
	l := library(t, `Feature: f
  Scenario: Nothing opens the valve that sticks
    Given the site "tern-lane"
    And the valve "top-up" sticks open
    When 10 L are drawn from "header-tank" within 10 min
    And 1 hour passes
    Then no water goes over the rim of "header-tank"
`)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l,
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	assert.Equal(t, outcome.NotExercised, results[0].Verdicts[0].State,
		"a valve that never moved is said to have been tried")
	assert.Contains(t, results[0].Verdicts[0].Why, `the valve \"top-up\" sticks open`,
		"the message does not say what did not matter")
}

// A lost network reaches the controller even when nothing at a terminal changes: going on all the same is what is
// proved.
func TestLosingTheNetworkIsAFaultThatReachesTheController(t *testing.T) {
	l := library(t, `Feature: f
  Scenario: A fill goes on
    Given the site "tern-lane"
    And the level in "header-tank" is 240 mm
    When the access point stops answering for 2 hours
    And 1 hour passes
    Then the level in "header-tank" stays above 200 mm
`)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l,
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	assert.Equal(t, outcome.Held, results[0].Verdicts[0].State, results[0].Verdicts[0].Why)
}

// However a file is named on the command line, it is one file.
func TestOneFileHasOneName(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("a.feature", []byte(twoThens), 0o666))
	l, spots, err := scenarios.Load(features.Files, []string{"./a.feature:2", "a.feature"})
	require.NoError(t, err)
	assert.Equal(t, []scenarios.Spot{{File: "a.feature", Line: 2}}, spots)
	chosen, err := l.Select(scenarios.Selection{})
	require.NoError(t, err)
	assert.Len(t, chosen, 1)
}
