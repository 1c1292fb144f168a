package scenarios

import (
	"errors"
	"slices"

	"ullage/harness/sitefile"
)

// SiteProblems is everything that is wrong with the site files of a library. Those that merely stand beside a feature file
// are left out until a scenario has named them: ask after the scenarios have been read.
func SiteProblems(l *Library) (problems Problems) {
	for _, name := range l.Sites() {
		f := l.sites[name]
		if f.beside && !f.asked.Load() {
			continue
		}
		_, err := f.read()
		var mistakes *sitefile.Mistakes
		switch {
		case errors.As(err, &mistakes):
			for _, m := range *mistakes {
				problems = append(problems, siteProblem(m))
			}
		case err != nil:
			problems = append(problems, Problem{File: f.name, Expected: err.Error()})
		}
	}
	return problems
}

// Check reads the sites and features of a library without running anything, and returns everything that is wrong with
// them: mistakes in site files, steps that no phrase matches, devices that do not exist, quantities out of range,
// outcomes over no time. An error is about the selection: its tags, or that it chooses nothing.
func Check(l *Library, selection Selection) (Problems, error) {
	all, syntax := l.Scenarios()
	chosen, err := l.choose(selection, all)
	steps := stepProblems(l, chosen)
	sites := SiteProblems(l)
	_, _, _, rows := l.Worksheet()
	problems := slices.Concat(sites, syntax, steps, rows)
	sitesOnly := len(l.features) == 0 && l.given > 0 && selection.Tags == "" && len(selection.Names)+len(selection.Spots) == 0
	if err != nil && !sitesOnly && (len(syntax) == 0 || len(all) > 0) {
		return problems, err
	}
	return problems, nil
}

// stepProblems is everything that is wrong with the steps of scenarios.
func stepProblems(l *Library, chosen []Scenario) (problems Problems) {
	for _, sc := range chosen {
		if len(sc.Steps) == 0 {
			continue // the reader has said so
		}
		_, found := Compile(sc, l.Site, 0)
		for _, p := range found {
			if !slices.Contains(problems, p) { // the rows of an outline share their steps
				problems = append(problems, p)
			}
		}
	}
	return problems
}

// siteProblem is a mistake of a site file among the problems.
func siteProblem(m sitefile.Mistake) Problem {
	p := Problem{File: m.File, Line: m.Line, Column: m.Column, Read: m.Read, Expected: m.Expected, Excerpt: m.Excerpt}
	switch {
	case m.Why != "" && m.Expected != "":
		p.Read += ": " + m.Why
	case m.Why != "":
		p.Read, p.Expected = "", "read "+m.Read+": "+m.Why
	}
	return p
}
