package scenarios

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/scenarios/internal/language"
)

// gap is a placeholder of a phrase that takes a figure: where its text stands in the example, and what it takes.
type gap struct {
	name     string
	from, to int
	dim      quantity.Dimension
	min, max float64
}

// gaps finds those of a phrase.
func gaps(p Phrase) []gap {
	found := p.Made.Expr.FindStringSubmatchIndex(p.Example)
	var list []gap
	for i, name := range p.Made.Names {
		g := gap{name: name, from: found[2*i+2], to: found[2*i+3]}
		kind := name
		if dim, own := p.Figures[name]; own {
			kind = quantity.Name(dim)
		}
		q, isQuantity := language.Quantities[kind]
		switch {
		case name == "within" && i > 0 && p.Made.Names[i-1] == name: // the event
			continue
		case name == "for", name == "window", name == "within":
			q = language.Quantities["duration"]
		case kind == "count":
			q.Dim, q.Max = quantity.Count, 1e6
		case !isQuantity:
			continue
		}
		g.dim, g.min, g.max = q.Dim, q.Min, q.Max
		if g.from >= 0 || name == "for" { // it does not stand in a part that the example leaves out
			list = append(list, g)
		}
	}
	return list
}

// with is the example with another text in the gap. A window that the example leaves out is put at its end.
func (g gap) with(example, text string) string {
	if g.from < 0 {
		return example + " for " + text
	}
	return example[:g.from] + text + example[g.to:]
}

// figure is a value as it is written in a step.
func (g gap) figure(v float64) string {
	switch g.dim {
	case quantity.Count:
		return fmt.Sprintf("%.0f", v)
	case quantity.Fraction:
		return fmt.Sprintf("%g %%", 100*v)
	}
	return fmt.Sprintf("%.9f %s", v, quantity.Unit(g.dim))
}

// bench compiles steps on sites that it reads once.
type bench struct{ *Library }

func (b bench) compile(t *testing.T, steps []string) (*harness.Script, Problems) {
	list, problems := ReadFeature("test.feature",
		[]byte("Feature: f\n  Scenario: s\n    "+strings.Join(steps, "\n    ")+"\n"))
	require.Empty(t, problems)
	return Compile(list[0], b.Site, 1)
}

// home is a site on which the example of a phrase compiles.
func (b bench) home(t *testing.T, p Phrase) string {
	for _, site := range b.Sites() {
		if _, problems := b.compile(t, story(site, p)); len(problems) == 0 {
			return site
		}
	}
	require.Fail(t, "the example of a phrase does not compile on any shipped site", p.Text())
	return ""
}

// said is what compiling says with another text in a gap of the example.
func (b bench) said(t *testing.T, site string, p Phrase, g gap, text string) string {
	p.Example = g.with(p.Example, text)
	_, problems := b.compile(t, story(site, p))
	return problems.Error()
}

var (
	aRange  = regexp.MustCompile(`[0-9∞].* to .*[0-9∞]|up to [0-9]`)
	noUnit  = regexp.MustCompile("unknown unit .*; expected")
	inPlace = regexp.MustCompile(`the nearest (?:is|are):\n    (.*)`)
)

// Whatever figure a phrase asks for, one out of range is refused when it is compiled, with the range and its unit; one
// without a unit, with that of another quantity, or that is no number, with what was expected.
func TestEveryFigureOfAPhraseIsHeldToItsRange(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side here")
	}
	b := bench{shipped(t)}
	tried := 0
	for _, p := range Phrases() {
		list := gaps(p)
		if len(list) == 0 {
			continue
		}
		site := b.home(t, p)
		for _, g := range list {
			tried++
			t.Run(p.Text()+"/"+g.name, func(t *testing.T) {
				outside := []string{g.figure(g.max * 2), g.figure(g.max * 1e6)}
				if g.dim != quantity.Count {
					outside = append(outside, g.figure(g.min-1))
					for _, garbage := range []string{"3", "3 kgf", "1e999 m", "5 ± 1 " + quantity.Unit(g.dim)} {
						if garbage == "3" && g.dim == quantity.None { // which is what it takes
							continue
						}
						assert.Contains(t, b.said(t, site, p, g, garbage), quantity.Name(g.dim),
							"what is said about %q does not name the quantity", garbage)
					}
				}
				for _, text := range outside {
					assert.Regexp(t, aRange, b.said(t, site, p, g, text), "what is said about %s does not name a range",
						text)
				}
				// no figure at all: this is another sentence
				for _, garbage := range []string{"NaN", "Inf", "-", "a bit"} {
					said := b.said(t, site, p, g, garbage)
					if noUnit.MatchString(said) {
						continue
					}
					shown := inPlace.FindStringSubmatch(said)
					if assert.NotNil(t, shown, "what is said about %q does not show what was expected: %s", garbage, said) {
						assert.Regexp(t, p.Made.Expr, shown[1], "what is said about %q does not show the phrase", garbage)
					}
				}
			})
		}
	}
	assert.Greater(t, tried, 100, "the placeholders are not found any more")
}

// Whatever figure compiles can be run: the stand can be built with it, and no knob refuses it later.
func TestWhatAPhraseAcceptsTheStandTakes(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side here")
	}
	b := bench{shipped(t)}
	build := stand.Builder(b.Site, stand.Simulated())
	turned := 0
	for _, p := range Phrases() {
		list := slices.DeleteFunc(gaps(p), func(g gap) bool { return g.name == "for" }) // how long, not how much
		if p.Kind == Then || len(list) == 0 {
			continue
		}
		site := b.home(t, p)
		for _, g := range list {
			for _, share := range []float64{0, 1e-9, 1e-3, 0.5, 1} {
				changed := p
				changed.Example = g.with(p.Example, g.figure(g.min+share*(g.max-g.min)))
				script, problems := b.compile(t, story(site, changed))
				if len(problems) > 0 {
					assert.Contains(t, problems.Error(), "expected",
						"%s: a refusal that does not say what was expected", changed.Example)
					continue
				}
				panel := offered(t, build, script)
				for _, act := range script.Acts {
					for _, turn := range act.Turns {
						knob, err := panel.Find(turn.Device, turn.Knob)
						if !assert.NoError(t, err, "%s compiles and cannot be played", changed.Example) {
							continue
						}
						turned++
						assert.True(t, turn.Value >= knob.Min && turn.Value <= knob.Max,
							"%s compiles, and turns %q to %g, which takes %g to %g",
							changed.Example, turn.Knob, turn.Value, knob.Min, knob.Max)
					}
				}
			}
		}
	}
	assert.Greater(t, turned, 500)
}
