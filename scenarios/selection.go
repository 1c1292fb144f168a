package scenarios

import (
	"fmt"
	"slices"
	"strings"
)

// Selection chooses among scenarios. What is left empty does not restrict.
type Selection struct {
	Tags  string   // a tag expression: @a and not (@b or @c)
	Names []string // a scenario's name contains one of them; capitals do not count
	Spots []Spot
}

// choose returns the chosen scenarios in their order. The error says what is wrong with the selection, or that it
// chooses nothing.
func (s Selection) choose(all []*Case) ([]*Case, error) {
	tags, err := parseTags(s.Tags, tagsOf(all))
	if err != nil {
		return nil, err
	}
	spots, err := s.atSpots(all)
	if err != nil {
		return nil, err
	}
	var chosen []*Case
	for i, sc := range all {
		if tags.Evaluate(sc.Tags) && s.named(sc.Name) && (spots == nil || spots[i]) {
			chosen = append(chosen, sc)
		}
	}
	if len(chosen) == 0 {
		return nil, fmt.Errorf("nothing is selected: %s", s.reason(len(all)))
	}
	return chosen, nil
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

// atSpots returns which scenarios stand at the lines that were asked for: a row of examples at its own line, all of
// them at the lines of their outline.
func (s Selection) atSpots(all []*Case) (map[int]bool, error) {
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
			return nil, fmt.Errorf("%s has no scenario at line %d; its last one ends at line %d", spot.File, spot.Line,
				last)
		}
		for i, sc := range all {
			if sc.File == spot.File && (row && sc.Line == spot.Line || !row && sc.Outline == start) {
				chosen[i] = true
			}
		}
	}
	return chosen, nil
}
