package language

import "regexp"

// pattern is what a phrase looks like: its regular expression, and who reads what stands at its placeholders.
type pattern struct {
	Shows   string         // for listings
	Expr    *regexp.Regexp // anchored, one group a reader
	readers []reader
	Names   []string // of the placeholders, one a reader
}

// reader takes the text that stands at a placeholder; "" when it was left out.
type reader func(c *Compiler, text string, a *Args)

// read takes a text apart; ok reports whether it matches. What is wrong at its placeholders goes to the compiler's
// problems.
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
