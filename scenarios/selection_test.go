package scenarios

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSelection(t *testing.T) {
	all := []Scenario{
		{File: "a.feature", Line: 4, Outline: 4, Name: "The tank leaks", Tags: []string{"@flood", "@good-day"}},
		{File: "a.feature", Line: 19, Outline: 12, Name: "Rows", Tags: []string{"@flood"}},
		{File: "a.feature", Line: 20, Outline: 12, Name: "Rows", Tags: []string{"@flood"}},
		{File: "b.feature", Line: 4, Outline: 4, Name: "The probe leaks", Tags: []string{"@silent"}},
	}
	for _, test := range []struct {
		name string
		Selection
		want []int
		err  string
	}{
		{name: "everything", want: []int{0, 1, 2, 3}},
		{name: "a tag", Selection: Selection{Tags: "@flood"}, want: []int{0, 1, 2}},
		{name: "without a tag", Selection: Selection{Tags: "~@flood"}, want: []int{3}},
		{name: "both", Selection: Selection{Tags: "@flood && ~@good-day"}, want: []int{1, 2}},
		{name: "either", Selection: Selection{Tags: "@good-day,@silent"}, want: []int{0, 3}},
		{name: "and binds closer than or", Selection: Selection{Tags: "@silent , @flood&&@good-day"}, want: []int{0, 3}},
		{name: "a name", Selection: Selection{Names: []string{"leaks"}}, want: []int{0, 3}},
		{name: "one of two names", Selection: Selection{Names: []string{"ROWS", "probe"}}, want: []int{1, 2, 3}},
		{name: "a line of a step", Selection: Selection{Spots: []Spot{{"a.feature", 7}}}, want: []int{0}},
		{name: "an outline", Selection: Selection{Spots: []Spot{{"a.feature", 13}}}, want: []int{1, 2}},
		{name: "a row", Selection: Selection{Spots: []Spot{{"a.feature", 20}}}, want: []int{2}},
		{name: "name and tag", Selection: Selection{Names: []string{"leaks"}, Tags: "@silent"}, want: []int{3}},
		{name: "not", Selection: Selection{Tags: "not @flood"},
			err: `tags "not @flood": read "not @flood"; expected @tag, or ~@tag for scenarios without it, joined by && (both) and , (either): the words not, and, or are not understood`},
		{name: "or", Selection: Selection{Tags: "@flood or @silent"},
			err: `tags "@flood or @silent": read "@flood or @silent"; expected @tag, or ~@tag for scenarios without it, joined by && (both) and , (either): the words not, and, or are not understood`},
		{name: "nothing between", Selection: Selection{Tags: "@flood,"},
			err: `tags "@flood,": read ""; expected @tag, or ~@tag for scenarios without it, joined by && (both) and , (either): the words not, and, or are not understood`},
		{name: "a mistyped tag", Selection: Selection{Tags: "@flod"}, err: `no scenario has the tag @flod; did you mean @flood?`},
		{name: "a mistyped tag left out", Selection: Selection{Tags: "~@flod"}, err: `no scenario has the tag @flod; did you mean @flood?`},
		{name: "nothing", Selection: Selection{Tags: "@silent", Names: []string{"rows"}},
			err: `nothing is selected: none of 4 scenarios has the tags @silent and the name rows`},
		{name: "before the first", Selection: Selection{Spots: []Spot{{"a.feature", 2}}}, err: `a.feature has no scenario at line 2; its last one ends at line 20`},
		{name: "behind the last", Selection: Selection{Spots: []Spot{{"a.feature", 21}}}, err: `a.feature has no scenario at line 21; its last one ends at line 20`},
	} {
		t.Run(test.name, func(t *testing.T) {
			chosen, err := test.choose(all)
			if test.err != "" {
				require.EqualError(t, err, test.err)
				return
			}
			require.NoError(t, err)
			var want []Scenario
			for _, i := range test.want {
				want = append(want, all[i])
			}
			assert.Equal(t, want, chosen)
		})
	}
	_, err := Selection{}.choose(nil)
	assert.EqualError(t, err, "nothing is selected: there are no scenarios; name a feature file, or a folder that has some")
}
