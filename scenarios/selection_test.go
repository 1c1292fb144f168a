package scenarios

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSelection(t *testing.T) {
	var all []*Case
	for _, sc := range []Scenario{
		{File: "a.feature", Line: 4, Outline: 4, Name: "The tank leaks", Tags: []string{"@flood", "@good-day"}},
		{File: "a.feature", Line: 19, Outline: 12, Name: "Rows", Tags: []string{"@flood"}},
		{File: "a.feature", Line: 20, Outline: 12, Name: "Rows", Tags: []string{"@flood"}},
		{File: "b.feature", Line: 4, Outline: 4, Name: "The probe leaks", Tags: []string{"@silent"}},
	} {
		all = append(all, &Case{Scenario: sc})
	}
	for _, test := range []struct {
		name string
		Selection
		want []int
		err  string
	}{
		{name: "everything", want: []int{0, 1, 2, 3}},
		{name: "a tag", Selection: Selection{Tags: "@flood"}, want: []int{0, 1, 2}},
		{name: "without a tag", Selection: Selection{Tags: "not @flood"}, want: []int{3}},
		{name: "both", Selection: Selection{Tags: "@flood and not @good-day"}, want: []int{1, 2}},
		{name: "either", Selection: Selection{Tags: "@good-day or @silent"}, want: []int{0, 3}},
		{name: "and binds closer than or", Selection: Selection{Tags: "@silent or @flood and @good-day"},
			want: []int{0, 3}},
		{name: "parentheses", Selection: Selection{Tags: "not (@silent or @good-day)"}, want: []int{1, 2}},
		{name: "a blank expression", Selection: Selection{Tags: " "}, want: []int{0, 1, 2, 3}},
		{name: "a name", Selection: Selection{Names: []string{"leaks"}}, want: []int{0, 3}},
		{name: "one of two names", Selection: Selection{Names: []string{"ROWS", "probe"}}, want: []int{1, 2, 3}},
		{name: "a line of a step", Selection: Selection{Spots: []Spot{{"a.feature", 7}}}, want: []int{0}},
		{name: "an outline", Selection: Selection{Spots: []Spot{{"a.feature", 13}}}, want: []int{1, 2}},
		{name: "a row", Selection: Selection{Spots: []Spot{{"a.feature", 20}}}, want: []int{2}},
		{name: "name and tag", Selection: Selection{Names: []string{"leaks"}, Tags: "@silent"}, want: []int{3}},
		{name: "the old filter", Selection: Selection{Tags: "@flood && ~@good-day, @silent"},
			err: `tags "@flood && ~@good-day, @silent": &&, ~ and the comma are no longer understood; write "@flood and not @good-day or @silent"`},
		{name: "a word that is no tag", Selection: Selection{Tags: "flood"}, err: `tags "flood": read "flood"; ` +
			tagSyntax},
		{name: "half an operator", Selection: Selection{Tags: "@flood & @silent"},
			err: `tags "@flood & @silent": read "&"; ` + tagSyntax},
		{name: "nothing after", Selection: Selection{Tags: "@flood and "},
			err: `tags "@flood and ": nothing stands after "and"; ` + tagSyntax},
		{name: "not alone", Selection: Selection{Tags: "(not)"}, err: `tags "(not)": nothing stands after "not"; ` +
			tagSyntax},
		{name: "nothing between", Selection: Selection{Tags: "@flood @silent"},
			err: `tags "@flood @silent" cannot be read; ` + tagSyntax},
		{name: "an open parenthesis", Selection: Selection{Tags: "(@flood"}, err: `tags "(@flood" cannot be read; ` +
			tagSyntax},
		{name: "a mistyped tag", Selection: Selection{Tags: "@flod"},
			err: `no scenario has the tag @flod; did you mean @flood?`},
		{name: "a mistyped tag left out", Selection: Selection{Tags: "not @flod"},
			err: `no scenario has the tag @flod; did you mean @flood?`},
		{name: "nothing", Selection: Selection{Tags: "@silent", Names: []string{"rows"}},
			err: `nothing is selected: none of 4 scenarios has the tags @silent and the name rows`},
		{name: "before the first", Selection: Selection{Spots: []Spot{{"a.feature", 2}}},
			err: `a.feature has no scenario at line 2; its last one ends at line 20`},
		{name: "behind the last", Selection: Selection{Spots: []Spot{{"a.feature", 21}}},
			err: `a.feature has no scenario at line 21; its last one ends at line 20`},
	} {
		t.Run(test.name, func(t *testing.T) {
			chosen, err := test.choose(all)
			if test.err != "" {
				require.EqualError(t, err, test.err)
				return
			}
			require.NoError(t, err)
			var want []*Case
			for _, i := range test.want {
				want = append(want, all[i])
			}
			assert.Equal(t, want, chosen)
		})
	}
	_, err := Selection{}.choose(nil)
	assert.EqualError(
		t,
		err,
		"nothing is selected: there are no scenarios; name a feature file, or a folder that has some",
	)
}
