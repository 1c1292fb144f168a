package language

import (
	"strings"

	"ullage/harness/outcome"
	"ullage/harness/spelling"
)

// Event is something that a deadline or the beginning of a fault may be tied to.
type Event struct {
	Clause  string // "as <clause>, ..." and "<duration> after <clause>, ..."
	Of      string // "within <duration> of <of>"
	Meaning string

	clause, of *pattern
	Happens    func(*Compiler, Args) outcome.Event
}

// Text is the event as it is printed: as a clause, and as what a deadline counts from.
func (e Event) Text() (clause, of string) { return e.clause.Shows, e.of.Shows }

// Timing is a way to say when a fault or stimulus happens.
type Timing struct {
	Text    string
	Tie     func(c *Compiler, a Args) Args
	Pattern *pattern
}

// readTiming reads the words in front of a timed phrase.
func readTiming(c *Compiler, text string, a *Args) {
	if text = readManner(c, text, a); text == "" {
		return
	}
	for _, t := range c.language.Timings {
		if read, ok := t.Pattern.read(c, text); ok {
			read = t.Tie(c, read)
			a.Event, a.After = read.Event, read.After
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

// readOf reads the event that a deadline counts from.
func readOf(c *Compiler, text string, a *Args) {
	if text != "" {
		c.findEvent(text, a, func(e Event) *pattern { return e.of })
	}
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
