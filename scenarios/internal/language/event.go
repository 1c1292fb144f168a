package language

import (
	"slices"
	"strings"

	"ullage/harness/outcome"
	"ullage/harness/spelling"
)

// readTiming reads the words in front of a timed phrase.
func readTiming(c *Compiler, text string, a *Args) {
	if text = readManner(c, text, a); text == "" {
		return
	}
	for _, t := range c.language.Timings {
		if read, ok := t.Pattern.read(c, text); ok {
			read = t.Tie(c, read)
			a.Event, a.After, a.During, a.Wait = read.Event, read.After, read.During, read.Wait
			return
		}
	}
	known := Names(c.language.Timings, func(t Timing) string { return t.Pattern.Shows })
	c.Problem(spelling.Quote(text), "one of: "+strings.Join(known, "; "))
}

// readEvent reads an event in a clause.
func readEvent(c *Compiler, text string, a *Args) {
	c.findEvent(text, a, func(e Event) *pattern { return e.clause })
}

// readOf reads the event that a deadline counts from. After "the first" its article is left out.
func readOf(c *Compiler, text string, a *Args) {
	if text == "" {
		return
	}
	of := func(e Event) *pattern { return e.of }
	if text, a.first = strings.CutPrefix(text, "the first "); a.first {
		for _, article := range []string{"the ", "a "} {
			if slices.ContainsFunc(c.language.Events, func(e Event) bool { return of(e).Expr.MatchString(article + text) }) {
				text = article + text
			}
		}
	}
	c.findEvent(text, a, of)
}

func (c *Compiler) findEvent(text string, a *Args, form func(Event) *pattern) {
	for _, e := range c.language.Events {
		if read, ok := form(e).read(c, text); ok {
			event := e.Happens(c, read)
			a.Event = &event
			return
		}
	}
	c.Problem(spelling.Quote(text), "an event; the nearest is: "+nearest(text, Names(c.language.Events, form)).Shows)
	a.Event = &outcome.Event{}
}
