package language

import (
	"regexp"
	"strings"
)

// filledIn is what differs from step to step of the same phrase: names in quotes, figures and their units.
var filledIn = regexp.MustCompile(`"[^"]*"|<[^>]*>|[0-9][0-9.½¼¾]*( ?(%|°C|[a-zA-Zµ]+(/[a-z]+)?\b))?`)

// words takes a text apart into words, with everything that is filled in made equal.
func words(text string) []string {
	text = strings.NewReplacer("[", " ", "]", " ", ",", " ").Replace(filledIn.ReplaceAllString(text, "#"))
	return strings.Fields(text)
}

// nearest is the pattern that is the fewest words away from a text; of equally near ones the first.
func nearest(text string, patterns []*pattern) *pattern {
	written := words(text)
	best, least := patterns[0], 1<<30
	for _, p := range patterns {
		if n := wordEdits(written, words(p.Shows)); n < least {
			best, least = p, n
		}
	}
	return best
}

// wordEdits is how much has to be changed to make one row of words of another: 2 for a word that is added, dropped or
// changed, 1 for one that is a slip of the hand away.
func wordEdits(a, b []string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = 2 * j
	}
	for i := range a {
		diagonal := row[0]
		row[0] = 2 * (i + 1)
		for j := range b {
			change := diagonal + wordChange(a[i], b[j])
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+2, diagonal+2)
		}
	}
	return row[len(b)]
}

func wordChange(a, b string) int {
	switch {
	case a == b:
		return 0
	case len(a) > 3 && len(b) > 3 && a[:3] == b[:3]:
		return 1
	}
	return 2
}
