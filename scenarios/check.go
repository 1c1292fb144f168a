package scenarios

import (
	"context"
	"errors"
	"slices"

	"ullage/harness/sitefile"
	"ullage/scenarios/internal/feature"
)

// SiteProblems is everything that is wrong with the site files that the chosen cases name or that were named
// themselves.
func SiteProblems(l *Library, chosen []*Case) (problems Problems) {
	for _, name := range l.Checked(chosen) {
		f := l.sites[name]
		_, err := f.read()
		var mistakes *sitefile.Mistakes
		switch {
		case errors.As(err, &mistakes):
			for _, m := range *mistakes {
				problems = append(problems, feature.SiteProblem(m))
			}
		case err != nil:
			problems = append(problems, Problem{File: f.name, Expected: err.Error()})
		}
	}
	return problems
}

// Assumed is what some sites do not say and what stands for it, by site; sites that say it all, or that cannot be read,
// are missing.
func (l *Library) Assumed(names []string) map[string][]string {
	by := map[string][]string{}
	for _, name := range names {
		site, err := l.Site(name)
		if err != nil {
			continue
		}
		if list := site.Assumed(); len(list) > 0 {
			by[name] = list
		}
	}
	return by
}

// Check says, without running anything, which scenarios a selection chooses and everything that is wrong with them and
// with the sites of the library: mistakes in site files, steps that no phrase matches, devices that do not exist,
// quantities out of range, outcomes over no time. An error is about the selection: its tags, or that it chooses
// nothing; or the context's.
func Check(ctx context.Context, l *Library, selection Selection) ([]*Case, Problems, error) {
	if err := l.Compile(ctx); err != nil {
		return nil, nil, err
	}
	all, syntax := l.Cases()
	chosen, err := selection.choose(all)
	_, _, _, rows := l.Worksheet()
	problems := slices.Concat(SiteProblems(l, chosen), syntax, stepProblems(chosen), rows)
	sitesOnly := len(l.features) == 0 && l.given > 0 && selection.Tags == "" &&
		len(selection.Names)+len(selection.Spots) == 0
	if sitesOnly || len(syntax) > 0 && len(all) == 0 {
		err = nil
	}
	return chosen, problems, err
}

// stepProblems is everything that is wrong with the steps of scenarios. That a site has mistakes is said by these.
func stepProblems(chosen []*Case) (problems Problems) {
	known := map[Problem]bool{} // the rows of an outline share their steps
	for _, c := range chosen {
		for _, p := range c.Problems {
			if !known[p] && !p.OfSite {
				known[p], problems = true, append(problems, p)
			}
		}
	}
	return problems
}
