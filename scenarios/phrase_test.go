package scenarios

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/scenarios/internal/language"
	"ullage/scenarios/internal/phrases"
)

// story puts the example of a phrase into a scenario that is otherwise complete.
func story(site string, p Phrase) []string {
	steps := []string{`Given the site "` + site + `"`}
	if strings.HasPrefix(p.Pattern, "the site ") {
		steps = nil
	}
	switch {
	case p.Kind == Given:
		return append(steps, "Given "+p.Example, "When 1 hour passes", "Then no alert arrives")
	case p.Kind == Then:
		return append(steps, "When the access point stops answering", "And 1 hour passes", "Then "+p.Example)
	}
	return append(steps, "When "+p.Example, "And 1 hour passes", "Then no alert arrives")
}

// example compiles the example of a phrase on the first shipped site that has what it needs.
func example(t *testing.T, p Phrase) *harness.Script {
	var why Problems
	for _, site := range shipped(t).Sites() {
		script, problems := compile(t, story(site, p)...)
		if len(problems) == 0 {
			return script
		}
		why = append(why, problems...)
	}
	require.Fail(t, "the example of a phrase does not compile on any shipped site", "%s\n%v", p.Text(), why)
	return nil
}

func TestEveryPhraseIsComplete(t *testing.T) {
	seen, sites := map[string]bool{}, shipped(t).Sites()
	for _, p := range Phrases() {
		t.Run(p.Text(), func(t *testing.T) {
			assert.False(t, seen[p.Text()], "declared twice")
			seen[p.Text()] = true
			assert.True(t, strings.HasSuffix(p.Meaning, "."), "the meaning is not a sentence: %q", p.Meaning)
			matches := 0
			for _, other := range Phrases() {
				if other.Kind&p.Kind != 0 && other.Made.Expr.MatchString(p.Example) {
					matches++
				}
			}
			assert.Equal(t, 1, matches, "phrases that match the example %q", p.Example)
			if strings.HasPrefix(p.Meaning, "Refused until ") {
				assert.True(t, slices.ContainsFunc(sites, func(site string) bool {
					_, problems := compile(t, story(site, p)...)
					return len(problems) == 1 && strings.Contains(problems.Error(), "is listed, not yet simulated")
				}), "on no shipped site is that it is not simulated all that is said")
				return
			}
			example(t, p)
		})
	}
}

func TestEveryEventIsComplete(t *testing.T) {
	names := strings.NewReplacer("{contact}", `"tank-low"`, "{valve}", `"top-up"`, "{pump}", `"pump"`, "{tank}",
		`"header-tank"`,
		"{bed}", `"bed"`, "{length}", "300 mm", "{share}", "20 %", "{alert}", `"spill"`)
	for _, e := range Events() {
		t.Run(e.Clause, func(t *testing.T) {
			assert.NotEmpty(t, e.Meaning)
			script, problems := compile(t, `Given the site "tern-lane"`,
				"When as "+names.Replace(e.Clause)+", the access point stops answering", "And 1 hour passes",
				`Then the valve "top-up" closes within 5 s of `+names.Replace(e.Of))
			require.Empty(t, problems)
			assert.Contains(t, script.Outcomes[0].Property.Signals(), script.Acts[0].On.Signal,
				"clause and deadline mean different events")
		})
	}
}

// The example of a phrase in the catalogue of faults is a step, and it injects that fault.
func TestEveryFaultHasAPhrase(t *testing.T) {
	for _, e := range fault.Catalogue() {
		for _, p := range e.Phrases {
			if e.Awaits != "" {
				continue
			}
			t.Run(e.ID, func(t *testing.T) {
				step := e.Example(p, ShippedSites())
				script := example(t, Phrase{Kind: When, Pattern: step, Example: step,
					Made: language.NewPattern("x", false, nil)})
				assert.Equal(t, e.ID, script.Acts[0].Fault)
			})
		}
	}
}

func TestEverySettingIsOfAShippedSite(t *testing.T) {
	for _, s := range phrases.Settings {
		t.Run(s.Name, func(t *testing.T) {
			script := example(t, Phrase{Kind: Given, Pattern: s.Name, Example: s.Name + " is " + s.Example,
				Made: language.NewPattern("x", false, nil)})
			require.Len(t, script.Start, 1)
			assert.Equal(t, "controller/settings/"+s.Path, script.Start[0].Path)
		})
	}
}

func TestListing(t *testing.T) {
	golden(t, "phrases.golden", Listing())
}

func TestNearestPhrase(t *testing.T) {
	for written, want := range map[string]string{
		`Then the valve "top-up" shuts within 5 s`:              `the valve "top-up" closes within 5 s`,
		`Then the level in "header-tank" stays under 800 mm`:    `the level in "header-tank" stays below 800 mm`,
		`When the standpipe of "header-tank" is clogged by 5 %`: `the standpipe of "header-tank" is blocked by 5 %`,
		`Given the site is "tern-lane"`:                         `the site "tern-lane"`,
		`Then not more than 20 L are lost`:                      `at most 20 L are lost`,
	} {
		steps := []string{written}
		if !strings.HasPrefix(written, "Given") {
			steps = []string{`Given the site "tern-lane"`, written}
		}
		_, problems := compile(t, steps...)
		require.NotEmpty(t, problems)
		assert.Regexp(t, `the nearest (is|are):\n    `+regexp.QuoteMeta(want)+`(\n|$)`, problems.Error(), written)
	}
}
