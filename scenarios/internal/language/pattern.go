package language

import (
	"fmt"
	"regexp"
	"strings"

	"ullage/harness/quantity"
	"ullage/harness/wording"
)

// pattern is what a phrase looks like: its regular expression, and who reads what stands at its placeholders.
type pattern struct {
	Shows   string         // for listings
	Expr    *regexp.Regexp // anchored, one group a reader
	readers []reader
	Names   []string // of the placeholders, one a reader
}

// reader takes the text that stands at a placeholder; "" when it was left out.
type reader func(c *Compiler, text string, a *Args)

// placeholder is one thing that a pattern leaves open.
type placeholder struct {
	shows   string
	expr    string
	readers []reader // one a group of expr
}

// NewPattern makes a pattern of its text (see package wording). A timed one may have words in front that say when. figures are
// placeholders besides those that every pattern knows.
func NewPattern(text string, timed bool, figures map[string]quantity.Dimension) *pattern {
	p := &pattern{}
	var shows, expr strings.Builder
	if timed {
		expr.WriteString(`(?:(.+?), )?`)
		p.readers, p.Names = append(p.readers, readTiming), append(p.Names, "")
	}
	for _, piece := range wording.Split(text) {
		switch piece.Kind {
		case wording.Literal:
			shows.WriteString(piece.Text)
			expr.WriteString(regexp.QuoteMeta(piece.Text))
		case wording.Begin:
			shows.WriteString("[")
			expr.WriteString("(?:")
		case wording.End:
			shows.WriteString("]")
			expr.WriteString(")?")
		case wording.Letters:
			shows.WriteString("(" + piece.Text + ")")
			expr.WriteString("(?:" + piece.Text + ")?")
		case wording.Words:
			shows.WriteString(piece.Text)
			expr.WriteString("(?:" + strings.ReplaceAll(piece.Text, "/", "|") + ")")
		case wording.Placeholder:
			h := find(piece.Text, figures)
			shows.WriteString(h.shows)
			expr.WriteString(h.expr)
			for _, r := range h.readers {
				p.readers, p.Names = append(p.readers, r), append(p.Names, piece.Text)
			}
		}
	}
	p.Shows = shows.String()
	p.Expr = regexp.MustCompile("^" + expr.String() + "$")
	if p.Expr.NumSubexp() != len(p.readers) {
		panic(fmt.Sprintf("scenarios: the phrase %q has %d groups for %d readers", text, p.Expr.NumSubexp(), len(p.readers)))
	}
	return p
}

// find is the placeholder of a name. An unknown one is a mistake of the program and panics.
func find(name string, figures map[string]quantity.Dimension) placeholder {
	if dim, own := figures[name]; own {
		return figurePlaceholder(name, dim)
	}
	h, ok := placeholders()[name]
	if !ok {
		panic(fmt.Sprintf("scenarios: a phrase has an unknown placeholder {%s}", name))
	}
	return h
}

// read takes a text apart; ok tells whether it matches. What is wrong at its placeholders goes to the compiler's problems.
func (p *pattern) read(c *Compiler, text string) (a Args, ok bool) {
	found := p.Expr.FindStringSubmatch(text)
	if found == nil {
		return a, false
	}
	for i, read := range p.readers {
		read(c, found[i+1], &a)
	}
	return a, true
}
