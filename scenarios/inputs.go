package scenarios

import (
	"cmp"
	"slices"
)

// Input is a file that a run is made with, as it was read.
type Input struct {
	Name string // as messages show it
	Text []byte
}

// Inputs are the files that cases are made of: their feature files and site files, and the worksheet, each once and by
// name.
func (l *Library) Inputs(cases []*Case) []Input {
	var list []Input
	add := func(f file) {
		if !slices.ContainsFunc(list, func(i Input) bool { return i.Name == f.name }) {
			list = append(list, Input{f.name, f.text})
		}
	}
	for _, f := range l.features {
		if slices.ContainsFunc(cases, func(c *Case) bool { return c.File == f.name }) {
			add(f)
		}
	}
	for _, c := range cases {
		if s, ok := l.sites[c.script.Site]; ok {
			add(s.file)
		}
	}
	for _, s := range l.sheets {
		add(s.file)
	}
	slices.SortFunc(list, func(a, b Input) int { return cmp.Compare(a.Name, b.Name) })
	return list
}
