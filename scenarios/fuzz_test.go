package scenarios

import (
	"fmt"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"ullage/harness"
)

// word is what an edit replaces in a step: a name in quotes, a number or a word.
var word = regexp.MustCompile(`"[^"]*"|[^ ",]+`)

// strange are words that no scenario should hold.
var strange = []string{"0", "-1", "1e400", "NaN", "99999999999999999999", `"\x1b[2J"`, `"\u202e"`, `""`, `"`, "±", "h",
	"\x00", "\xff", ",", "<when>",
	"\n    |a|b|", "\n    \"\"\"", "\n  @tag", "\n  Scenario:", "#", strings.Repeat("x", 300)}

// seeds are what a scenario is made of: examples of phrases, and what their words may become.
type seeds struct{ examples, words []string }

func readSeeds() (s seeds) {
	for _, p := range Phrases() {
		s.examples = append(s.examples, p.Example)
		s.words = append(s.words, word.FindAllString(p.Example, -1)...)
	}
	for _, e := range Events() {
		clause, _ := e.Text()
		s.words = append(s.words, clause+",", "1 h after "+clause+",")
	}
	slices.Sort(s.words)
	s.words = append(slices.Compact(s.words), strange...)
	return s
}

// edit is one step of a scenario: the example of a phrase, of which one word becomes another.
type edit struct{ example, place, word uint16 }

// step is the example with its edit. Place 0 leaves it as it is.
func (s seeds) step(e edit) string {
	text := s.examples[int(e.example)%len(s.examples)]
	if e.place == 0 {
		return text
	}
	spans := word.FindAllStringIndex(text, -1)
	at := spans[int(e.place)%len(spans)]
	return text[:at[0]] + s.words[int(e.word)%len(s.words)] + text[at[1]:]
}

// FuzzCompile compiles scenarios of a condition, a fault or stimulus, and an outcome, each the example of a phrase with
// one word changed. The steps are numbers: the fuzzer spends no time on making texts shorter.
func FuzzCompile(f *testing.F) {
	s, l := readSeeds(), shipped(f)
	for i := range uint16(len(s.examples)) {
		f.Add(uint8(i), i, uint16(0), uint16(0), i, uint16(0), uint16(0), i, uint16(0), uint16(0))
		f.Add(uint8(i), i, i, 7*i, i+40, i, 11*i, i+80, i, 13*i)
	}
	debug.SetGCPercent(400)
	sites := []string{"tern-lane", "fish-house-sump", "allotment", "hillside-terrace"}
	f.Fuzz(func(t *testing.T, site uint8, e1, p1, w1, e2, p2, w2, e3, p3, w3 uint16) {
		text := fmt.Sprintf(
			"Feature: f\n  Scenario: s\n    Given the site %q\n    And %s\n    When %s\n    And 1 h passes\n    Then %s\n",
			sites[int(site)%len(sites)],
			s.step(edit{e1, p1, w1}),
			s.step(edit{e2, p2, w2}),
			s.step(edit{e3, p3, w3}),
		)
		list, problems := ReadFeature("fuzz.feature", []byte(text))
		if len(problems) > 0 {
			return
		}
		for _, sc := range list {
			script, problems := Compile(sc, l.Site, 1)
			if len(problems) == 0 && (len(script.Outcomes) == 0 || script.Site == "" ||
				script.End == (harness.Moment{})) {
				t.Errorf("compiled to a script that judges nothing:\n%s", text)
			}
		}
	})
}
