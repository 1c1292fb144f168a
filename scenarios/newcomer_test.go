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

// Lines in a newcomer's own words lead to the phrase, and those without a phrase are not led astray too often. The
// figures asked for are those after the words were amended by each list. When first run, before that, they were
//
//   - newcomers-2.csv: of 61 lines with a phrase the first suggestion was right for 32 and one of those shown for 37;
//     nothing was shown for 21, and 3 showed the opposite.
//   - newcomers-3.csv: of 20 lines with a phrase the first suggestion was right for 14 and one of those shown for 15;
//     nothing was shown for 4, and 2 showed the opposite. Whoever wrote them amended the words by newcomers-2.csv.
func TestNewcomers(t *testing.T) {
	l := shipped(t)
	for _, list := range []struct {
		file                           string
		first, three, none, eitherWays int
	}{
		{"newcomers.csv", 84, 86, 10, 6},
		{"newcomers-2.csv", 55, 57, 4, 11},
		{"newcomers-3.csv", 15, 15, 0, 0},
	} {
		t.Run(list.file, func(t *testing.T) {
			var n tally
			for _, of := range newcomers(t, "testdata/"+list.file) {
				n.count(t, l, of)
			}
			t.Logf("of %d lines with a phrase: first %d, among three %d; of %d without one, none suggested: %d; of %d that a "+
				"phrase says in part, either: %d", n.lines, n.first, n.three, n.none, n.rightNone, n.either, n.rightEither)
			assert.GreaterOrEqual(t, n.first, list.first, "the first of the phrases shown says what was meant")
			assert.GreaterOrEqual(t, n.three, list.three, "one of the phrases shown says what was meant")
			assert.GreaterOrEqual(t, n.rightNone, list.none, "nothing is suggested where nothing fits")
			assert.GreaterOrEqual(t, n.rightEither, list.eitherWays,
				"either nothing is suggested, or a phrase that says a part of it")
		})
	}
}

// Nothing that is suggested says the contrary: a contact that is normally closed is operated when it is open, a low
// float when it hangs down, and an output that fails short is on.
func TestSuggestNoContrary(t *testing.T) {
	l := shipped(t)
	for _, c := range []struct {
		kind             Kind
		line, site, says string // the site is "" where none is known
		never            string // is in nothing that is suggested
	}{
		{Given, "tank-low is stuck closed", "allotment-tank", `the float of "tank-low" jams operated`, "released|breaks"},
		{Given, "tank-low is stuck open", "allotment-tank", `the float of "tank-low" jams released`, "operated|shorted"},
		{Given, "tank-spill is stuck closed", "allotment-tank", `the float of "tank-spill" jams released`, "operated|breaks"},
		{Given, "tank-spill has welded shut", "allotment-tank", `the float of "tank-spill" jams released`, "operated|breaks"},
		{Given, "tank-spill is stuck open", "allotment-tank", `the float of "tank-spill" jams operated`, "released|shorted"},
		{Given, "the tank-high float is stuck up", "allotment-tank", `the float of "tank-high" jams operated`, "released"},
		{Given, "the tank-low float is stuck up", "allotment-tank", `the float of "tank-low" jams released`, "operated"},
		{Given, "a float switch is stuck closed", "allotment-tank", `the lead of "tank-low" is shorted`,
			"operated|released|breaks"},
		{Given, "the relay of top-up has failed short", "allotment-tank", `the output of the valve "top-up" fails on`,
			"fails off"},
		{Given, "the relay of top-up has failed open", "allotment-tank", `the output of the valve "top-up" fails off`,
			"fails on"},
		{Given, "the driver for top-up is dead", "allotment-tank", `the output of the valve "top-up" fails off`, "fails on"},
		{Given, "the relay of top-up is welded and can not switch off", "allotment-tank",
			`the output of the valve "top-up" fails on`, "fails off"},
		{Then, "the pump is not allowed more than 4 starts", "rooftop-planters", `the pump "pump" starts at most 4 times`,
			"never"},
		{Then, "the controller keeps top-up closed", "allotment-tank", `the valve "top-up" never opens`,
			"opens within|closes"},
		{Then, "top-up stays shut", "allotment-tank", `the valve "top-up" never opens`, "opens within"},
		{Then, "the lawn is left alone", "kitchen-garden", `the valve "lawn" never opens`, "opens within|at least"},
		{Then, "the pump does not come back to life", "rooftop-planters", `the pump "pump" never starts`,
			"starts within|at least"},
		{Then, "no pump starts more than 8 times", "rooftop-planters", `the pump "pump" starts at most 8 times`,
			"at least|fill"},
	} {
		site, err := l.Site(c.site)
		require.NoError(t, err)
		got := phrases.Language().Suggest(Step{Kind: c.kind, Text: c.line}, site)
		if assert.NotEmpty(t, got, c.line) {
			assert.Equal(t, c.says, got[0].Step, c.line)
		}
		for _, g := range got {
			assert.NotRegexp(t, c.never, g.Step, c.line)
		}
	}
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
