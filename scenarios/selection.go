package scenarios

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"ullage/harness/spelling"
	"ullage/harness/worksheet"
)

// Selection chooses among scenarios. What is left empty does not restrict.
type Selection struct {
	Tags  string   // @a && ~@b , @c : a without b, or c
	Names []string // a scenario's name contains one of them; capitals do not count
	Spots []Spot
}

// choose returns the chosen scenarios in their order. The error says what is wrong with the selection, or that it chooses
// nothing.
func (s Selection) choose(all []Scenario) ([]Scenario, error) {
	expr, err := parseTags(s.Tags)
	if err != nil {
		return nil, err
	}
	if err := expr.known(all); err != nil {
		return nil, err
	}
	spots, err := s.atSpots(all)
	if err != nil {
		return nil, err
	}
	var chosen []Scenario
	for i, sc := range all {
		if expr.holds(sc.Tags) && s.named(sc.Name) && (spots == nil || spots[i]) {
			chosen = append(chosen, sc)
		}
	}
	if len(chosen) == 0 {
		return nil, fmt.Errorf("nothing is selected: %s", s.reason(len(all)))
	}
	return chosen, nil
}

// Selected counts the scenarios that a selection chooses; 0 also when there is something wrong with it.
func (l *Library) Selected(s Selection) int {
	all, _ := l.Scenarios()
	chosen, _ := l.choose(s, all)
	return len(chosen)
}

// Chosen are the scenarios that a selection chooses, with the tags of the faults that they play. The error says what is wrong
// with the feature files or with the selection, or that it chooses nothing: there is nothing to run.
func (l *Library) Chosen(s Selection) ([]Scenario, error) {
	chosen, err := l.toRun(s)
	return l.tagged(chosen), err
}

// toRun returns the chosen scenarios of feature files in which nothing is wrong.
func (l *Library) toRun(s Selection) ([]Scenario, error) {
	all, problems := l.Scenarios()
	if len(problems) > 0 {
		return nil, problems
	}
	return l.choose(s, all)
}

// choose returns the chosen scenarios; where a tag of the selection is that of a fault, it finds those that play it.
func (l *Library) choose(s Selection, all []Scenario) ([]Scenario, error) {
	if strings.Contains(s.Tags, worksheet.FaultTag("")) {
		all = l.tagged(all)
	}
	return s.choose(all)
}

// reason says why nothing is selected of n scenarios.
func (s Selection) reason(n int) string {
	if n == 0 {
		return "there are no scenarios; name a feature file, or a folder that has some"
	}
	var asked []string
	if s.Tags != "" {
		asked = append(asked, "the tags "+s.Tags)
	}
	if len(s.Names) > 0 {
		asked = append(asked, "the name "+strings.Join(s.Names, " or "))
	}
	if len(s.Spots) > 0 {
		asked = append(asked, "the line")
	}
	return fmt.Sprintf("none of %d scenarios has %s", n, strings.Join(asked, " and "))
}

func (s Selection) named(name string) bool {
	return len(s.Names) == 0 || slices.ContainsFunc(s.Names, func(part string) bool {
		return strings.Contains(strings.ToLower(name), strings.ToLower(part))
	})
}

// atSpots tells which scenarios stand at the lines that were asked for: a row of examples at its own line, all of them at
// the lines of their outline.
func (s Selection) atSpots(all []Scenario) (map[int]bool, error) {
	if len(s.Spots) == 0 {
		return nil, nil
	}
	chosen := map[int]bool{}
	for _, spot := range s.Spots {
		start, last, row := 0, 0, false
		for _, sc := range all {
			if sc.File != spot.File {
				continue
			}
			if sc.Outline <= spot.Line {
				start = max(start, sc.Outline)
			}
			last = max(last, sc.Line)
			if n := len(sc.Steps); n > 0 {
				last = max(last, sc.Steps[n-1].Line)
			}
			row = row || sc.Line == spot.Line
		}
		if start == 0 || spot.Line > last {
			return nil, fmt.Errorf("%s has no scenario at line %d; its last one ends at line %d", spot.File, spot.Line, last)
		}
		for i, sc := range all {
			if sc.File == spot.File && (row && sc.Line == spot.Line || !row && sc.Outline == start) {
				chosen[i] = true
			}
		}
	}
	return chosen, nil
}

// tagExpr is a choice by tags: any of its terms, of which every tag must be as wanted.
type tagExpr [][]wantedTag

type wantedTag struct {
	tag  string
	not  bool
	text string
}

var tagSyntax = regexp.MustCompile(`^(~?)(@[^\s@,&~|!()]+)$`)

// parseTags reads a choice by tags.
func parseTags(text string) (tagExpr, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	var expr tagExpr
	for _, alternative := range strings.Split(text, ",") {
		var term []wantedTag
		for _, part := range strings.Split(alternative, "&&") {
			part = strings.TrimSpace(part)
			m := tagSyntax.FindStringSubmatch(part)
			if m == nil {
				return nil, fmt.Errorf("tags %q: read %q; expected @tag, or ~@tag for scenarios without it, joined by && (both) "+
					"and , (either): the words not, and, or are not understood", text, part)
			}
			term = append(term, wantedTag{tag: m[2], not: m[1] != "", text: part})
		}
		expr = append(expr, term)
	}
	return expr, nil
}

func (e tagExpr) holds(tags []string) bool {
	return len(e) == 0 || slices.ContainsFunc(e, func(term []wantedTag) bool {
		return !slices.ContainsFunc(term, func(w wantedTag) bool { return slices.Contains(tags, w.tag) == w.not })
	})
}

// known says which tag no scenario has.
func (e tagExpr) known(all []Scenario) error {
	var tags []string
	for _, sc := range all {
		tags = append(tags, sc.Tags...)
	}
	slices.Sort(tags)
	tags = slices.Compact(tags)
	for _, term := range e {
		for _, w := range term {
			if slices.Contains(tags, w.tag) {
				continue
			}
			hint := ""
			if near := spelling.Nearest(w.tag, tags); near != "" {
				hint = "; did you mean " + near + "?"
			}
			return fmt.Errorf("no scenario has the tag %s%s", w.tag, hint)
		}
	}
	return nil
}
