package scenarios

import (
	"fmt"
	"regexp"
	"strings"
)

// pattern is what a phrase looks like: its regular expression, and who reads what stands at its placeholders.
type pattern struct {
	shows   string         // for listings
	expr    *regexp.Regexp // anchored, one group a reader
	readers []reader
}

// reader takes the text that stands at a placeholder; "" when it was left out.
type reader func(c *compiler, text string, a *args)

// placeholder is one thing that a pattern leaves open.
type placeholder struct {
	shows   string
	expr    string
	readers []reader // one a group of expr
}

// tokens are the parts of a pattern that are not literal: {placeholder}, letters that may be missing, one of two words.
var tokens = regexp.MustCompile(`\{[a-z -]+\}|\([a-z]+\)|[a-z]+(?:/[a-z]+)+`)

// newPattern makes a pattern of its text. A timed one may have words in front that say when.
func newPattern(text string, timed bool) *pattern {
	p := &pattern{}
	var shows, expr strings.Builder
	if timed {
		expr.WriteString(`(?:(.+?), )?`)
		p.readers = append(p.readers, readTiming)
	}
	literal := func(s string) {
		shows.WriteString(s)
		expr.WriteString(regexp.QuoteMeta(s))
	}
	at := 0
	for _, span := range tokens.FindAllStringIndex(text, -1) {
		literal(text[at:span[0]])
		token := text[span[0]:span[1]]
		at = span[1]
		switch token[0] {
		case '{':
			h, ok := placeholders()[token[1:len(token)-1]]
			if !ok {
				panic(fmt.Sprintf("scenarios: the phrase %q has an unknown placeholder %s", text, token))
			}
			shows.WriteString(h.shows)
			expr.WriteString(h.expr)
			p.readers = append(p.readers, h.readers...)
		case '(':
			shows.WriteString(token)
			expr.WriteString("(?:" + token[1:len(token)-1] + ")?")
		default:
			shows.WriteString(token)
			expr.WriteString("(?:" + strings.ReplaceAll(token, "/", "|") + ")")
		}
	}
	literal(text[at:])
	p.shows = shows.String()
	p.expr = regexp.MustCompile("^" + expr.String() + "$")
	if p.expr.NumSubexp() != len(p.readers) {
		panic(fmt.Sprintf("scenarios: the phrase %q has %d groups for %d readers", text, p.expr.NumSubexp(), len(p.readers)))
	}
	return p
}

// read takes a text apart; ok tells whether it matches. What is wrong at its placeholders goes to the compiler's problems.
func (p *pattern) read(c *compiler, text string) (a args, ok bool) {
	found := p.expr.FindStringSubmatch(text)
	if found == nil {
		return a, false
	}
	for i, read := range p.readers {
		read(c, found[i+1], &a)
	}
	return a, true
}
