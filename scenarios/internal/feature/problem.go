package feature

import (
	"fmt"
	"strconv"
	"strings"

	"ullage/harness/sitefile"
)

// Problem is one thing that is wrong with a feature or site file.
type Problem struct {
	File     string
	Line     int // 0 when it is about the whole file
	Column   int // 0 when it is about the whole line
	Read     string
	Expected string // what was expected instead, or what is wrong
	Excerpt  string // the line with a caret below the place; "" without
	Scenario string // "" outside of a scenario
	OfSite   bool   // a scenario cannot be compiled for the mistakes of its site file, which are problems of their own
}

// Error is one line: flood.feature:42: read "tank-hgih"; expected a contact of the site (tank-low, tank-high); did you
// mean "tank-high"? The excerpt, if there is one, stands below it.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		b.WriteString(":" + strconv.Itoa(p.Line))
	}
	if p.Column > 0 {
		b.WriteString(":" + strconv.Itoa(p.Column))
	}
	b.WriteString(": ")
	if p.Read != "" {
		fmt.Fprintf(&b, "read %s; expected ", p.Read)
	}
	b.WriteString(p.Expected)
	if p.Excerpt != "" {
		b.WriteString("\n" + p.Excerpt)
	}
	return b.String()
}

// Problems is everything that is wrong, in the order of the files.
type Problems []Problem

// Error lists every problem.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i := range p {
		lines[i] = p[i].Error()
	}
	return strings.Join(lines, "\n")
}

// SiteProblem is a mistake of a site file among the problems.
func SiteProblem(m sitefile.Mistake) Problem {
	p := Problem{File: m.File, Line: m.Line, Column: m.Column, Read: m.Read, Expected: m.Expected, Excerpt: m.Excerpt}
	switch {
	case m.Why != "" && m.Expected != "":
		p.Read += ": " + m.Why
	case m.Why != "":
		p.Read, p.Expected = "", "read "+m.Read+": "+m.Why
	}
	return p
}
