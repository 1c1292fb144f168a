package scenarios

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/scenarios/internal/phrases"
)

// newcomer is a line that somebody wrote who has read no list of phrases, with the phrases that say what was meant, each
// by a step that it matches. None of them: there is no such phrase, and to suggest none is right.
type newcomer struct {
	line, site string
	kind       Kind
	meant      []string
}

func newcomers(t testing.TB, file string) (list []newcomer) {
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		n := newcomer{line: row[0], site: row[2], meant: strings.Split(row[3], " | ")}
		require.NoError(t, n.kind.UnmarshalText([]byte(row[1])))
		list = append(list, n)
	}
	return list
}

// patterns are those of the phrases that steps match.
func patterns(t testing.TB, steps []string) (list []string) {
	for _, step := range steps {
		found := ""
		for _, p := range phrases.Language().Phrases {
			if p.Made.Expr.MatchString(step) {
				found = p.Pattern
			}
		}
		require.True(t, found != "" || step == "none", "no phrase is written %q", step)
		list = append(list, found)
	}
	return list
}

// tally is how many of the lines of newcomers lead to a phrase that says what was meant.
type tally struct{ lines, first, three, none, rightNone, either, rightEither int }

func (n *tally) count(t testing.TB, l *Library, of newcomer) {
	site, err := l.Site(of.site)
	require.NoError(t, err)
	meant := patterns(t, of.meant)
	got := phrases.Language().Suggest(Step{Kind: of.kind, Text: of.line}, site)
	right := func(i int) bool {
		for _, m := range meant {
			if got[i].Phrase.Pattern == m {
				return true
			}
		}
		return false
	}
	mark := "-"
	switch {
	case len(meant) > 1 && meant[0] == "":
		n.either++
		if len(got) == 0 || right(0) {
			n.rightEither++
			mark = "ok"
		}
	case meant[0] == "":
		n.none++
		if len(got) == 0 {
			n.rightNone++
			mark = "none"
		}
	default:
		n.lines++
		for i := range got {
			if right(i) {
				n.three++
				mark = "3"
				if i == 0 {
					n.first++
					mark = "1"
				}
				break
			}
		}
	}
	t.Logf("%-4s %v %s\n        meant %q", mark, of.kind, of.line, of.meant[0])
	for _, g := range got {
		assert.Regexp(t, g.Phrase.Made.Expr, g.Step, "what is suggested must be a step")
		t.Logf("        %.2f %s", g.Score, g.Step)
	}
}

// Lines in a newcomer's own words lead to the phrase, and those without a phrase are not led astray too often.
func TestNewcomers(t *testing.T) {
	l := shipped(t)
	var n tally
	for _, of := range newcomers(t, "testdata/newcomers.csv") {
		n.count(t, l, of)
	}
	t.Logf("of %d lines with a phrase: first %d, among three %d; of %d without one, none suggested: %d; of %d that a phrase "+
		"says in part, either: %d", n.lines, n.first, n.three, n.none, n.rightNone, n.either, n.rightEither)
	assert.GreaterOrEqual(t, n.first, 82, "the first of the phrases shown says what was meant")
	assert.GreaterOrEqual(t, n.three, 84, "one of the phrases shown says what was meant")
	assert.GreaterOrEqual(t, n.rightNone, 10, "nothing is suggested where nothing fits")
	assert.GreaterOrEqual(t, n.rightEither, 6, "either nothing is suggested, or a phrase that says a part of it")
}

func BenchmarkSuggest(b *testing.B) {
	l := shipped(b)
	list := newcomers(b, "testdata/newcomers.csv")
	site, err := l.Site("tern-lane")
	require.NoError(b, err)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		of := list[i%len(list)]
		phrases.Language().Suggest(Step{Kind: of.kind, Text: of.line}, site)
	}
}
