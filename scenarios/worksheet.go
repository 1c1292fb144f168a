package scenarios

import (
	"errors"
	"path"
	"path/filepath"
	"slices"

	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/harness/worksheet"
	"ullage/scenarios/internal/feature"
)

// isWorksheet reports whether a file is a worksheet of failure modes, by its name.
func isWorksheet(name string) bool { return path.Base(filepath.ToSlash(name)) == worksheet.FileName }

// sheetFile is a worksheet that a library has taken.
type sheetFile struct {
	file
	whole bool // the scenarios of its whole folder were taken with it: a tag that none of them has is one of none
}

// takeWorksheet keeps a worksheet; one that is named with its folder counts more than one that stands beside a feature
// file.
func (l *Library) takeWorksheet(name string, text []byte, whole bool) {
	i := slices.IndexFunc(l.sheets, func(s sheetFile) bool { return s.name == name })
	switch {
	case i < 0:
		l.sheets = append(l.sheets, sheetFile{file{name, text}, whole})
	case whole:
		l.sheets[i].whole = true
	}
}

// Worksheet is the worksheet of a library's features, with the tags that their scenarios bear; nil when it has none.
// Whole reports whether those are all scenarios of the worksheet's folder. The problems are its mistakes: what cannot
// be read, tags of rows that no scenario has, tags of scenarios that no row names.
func (l *Library) Worksheet() (sheet *worksheet.Worksheet, suiteTags []string, whole bool, problems Problems) {
	if len(l.sheets) == 0 {
		return nil, nil, false, nil
	}
	for _, second := range l.sheets[1:] {
		problems = append(problems, Problem{File: second.name, Expected: "a second worksheet beside " +
			l.sheets[0].name + "; expected one for all features of a run"})
	}
	sheet, err := worksheet.Read(l.sheets[0].name, l.sheets[0].text)
	if err != nil {
		return nil, nil, false, append(problems, sheetProblems(err)...)
	}
	all, _ := l.Cases()
	suiteTags, whole = tagsOf(all), l.sheets[0].whole
	for _, sc := range all {
		for _, tag := range sheet.UnmatchedModeTags(sc.Tags) {
			p := Problem{File: sc.File, Read: spelling.Quote(tag), Scenario: sc.Name,
				Expected: "a tag that a row of " + sheet.File() +
					" names under \"scenarios\", or no tag that begins with " + worksheet.ModeTag}
			p.Line, p.Column = sc.TagPlace(tag)
			if !slices.Contains(problems, p) {
				problems = append(problems, p)
			}
		}
	}
	if whole {
		problems = append(problems, sheetProblems(sheet.UnmatchedRowTags(suiteTags))...)
	}
	return sheet, suiteTags, whole, problems
}

// sheetProblems are the mistakes of a worksheet among the problems.
func sheetProblems(err error) (problems Problems) {
	var mistakes *sitefile.Mistakes
	if errors.As(err, &mistakes) {
		for _, m := range *mistakes {
			problems = append(problems, feature.SiteProblem(m))
		}
	}
	return problems
}
