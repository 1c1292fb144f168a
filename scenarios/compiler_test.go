package scenarios

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/features"
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// Only commit changed golden files if you understand what changed them.
var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

func shipped(t testing.TB) *Library {
	l, err := Open(features.Files)
	require.NoError(t, err)
	return l
}

func read(t testing.TB, name string) []Scenario {
	text, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	list, problems := ReadFeature(name, text)
	require.Empty(t, problems)
	return list
}

// compile compiles a scenario of these steps on a shipped site.
func compile(t testing.TB, steps ...string) (*harness.Script, Problems) {
	text := "Feature: f\n  Scenario: s\n    " + strings.Join(steps, "\n    ") + "\n"
	list, problems := ReadFeature("test.feature", []byte(text))
	require.Empty(t, problems)
	require.Len(t, list, 1)
	return Compile(list[0], shipped(t).Site, 1)
}

func TestScripts(t *testing.T) {
	var out bytes.Buffer
	for _, sc := range read(t, "good.feature") {
		script, problems := Compile(sc, shipped(t).Site, 1)
		require.Empty(t, problems, sc.Name)
		show(&out, script)
	}
	golden(t, "good.golden", out.String())
}

func TestProblems(t *testing.T) {
	var out bytes.Buffer
	for _, sc := range read(t, "bad.feature") {
		_, problems := Compile(sc, shipped(t).Site, 1)
		assert.NotEmpty(t, problems, "nothing was found in %q", sc.Name)
		fmt.Fprintf(&out, "%s\n%v\n\n", sc.Name, problems)
	}
	golden(t, "bad.golden", out.String())
}

// show writes a script so that a person can see what changed.
func show(w *bytes.Buffer, s *harness.Script) {
	fmt.Fprintf(w, "%s:%d %s / %s / %s %v\n  site %s, seed %016x\n", s.File, s.Line, s.Feature, s.Rule, s.Name, s.Tags,
		s.Site, s.Seed)
	for _, set := range s.Start {
		fmt.Fprintf(w, "  start %s = %s\n", set.Path, set.Text)
	}
	for i, a := range s.Acts {
		fmt.Fprintf(w, "  act %d %q at %s", i+1, a.Mark, moment(a.When))
		if a.On != nil {
			fmt.Fprintf(w, ", on %s and %v later, waiting %v", condition(a.On.Condition), a.After, a.Within)
		}
		if a.Given {
			fmt.Fprint(w, ", standing")
		}
		fmt.Fprintf(w, ": %s\n    fault %q on %q\n", a.Text, a.Fault, a.Target)
		for _, turn := range a.Turns {
			until := "the end"
			if turn.Until != signal.Never {
				until = turn.Until.String()
			}
			fmt.Fprintf(w, "    %s %q = %g from %v until %s\n", turn.Device, turn.Knob, turn.Value, turn.From, until)
		}
	}
	fmt.Fprintf(w, "  begins %s, ends %s, needs %v\n", moment(s.Begins), moment(s.End), s.Needs)
	for _, o := range s.Outcomes {
		from := "begins"
		if o.From != (outcome.Event{}) {
			from = condition(o.From.Condition)
		}
		fmt.Fprintf(w, "  then %s\n    from %s for %v, looks at %v\n", o.Text, from, o.Property.Horizon(),
			o.Property.Signals())
	}
	fmt.Fprintln(w)
}

func moment(m harness.Moment) string { return fmt.Sprintf("%d+%v", m.Act, m.Plus) }

func condition(c outcome.Condition) string {
	return fmt.Sprintf("%s %s", c.Signal, [...]string{fmt.Sprintf(">= %g", c.Limit), fmt.Sprintf("<= %g", c.Limit),
		"on", "off"}[c.Is])
}

func TestTheSeedBelongsToTheScenario(t *testing.T) {
	sc := Scenario{File: "features/flood.feature", Line: 42, Name: "a", Row: 1}
	same := sc
	same.File, same.Line = "elsewhere/flood.feature", 7
	assert.Equal(t, sc.Seed(1), same.Seed(1), "the seed changed with the folder or the line")
	for what, other := range map[string]Scenario{"file": {File: "dry-out.feature", Name: "a", Row: 1},
		"name": {File: "flood.feature", Name: "b", Row: 1}, "row": {File: "flood.feature", Name: "a", Row: 2}} {
		assert.NotEqual(t, sc.Seed(1), other.Seed(1), "two scenarios that differ by %s have the same draws", what)
	}
	assert.NotEqual(t, sc.Seed(1), sc.Seed(2), "the seed of the command line changes nothing")
}

func TestCompilingChangesNoSite(t *testing.T) {
	l := shipped(t)
	before, err := l.Site("tern-lane")
	require.NoError(t, err)
	starts := before.Tanks[0].Starts.SI
	for _, sc := range read(t, "good.feature") {
		Compile(sc, l.Site, 1)
	}
	after, err := l.Site("tern-lane")
	require.NoError(t, err)
	assert.Equal(t, starts, after.Tanks[0].Starts.SI, "a scenario's level stays in the site for the next scenario")
}
