package language

import (
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
)

// defaultClock is what the clock shows as a run begins when nobody says so.
const defaultClock = "Monday 00:00"

// readTime reads a time of day, "05:00", into its seconds since midnight.
func readTime(c *Compiler, text string, a *Args) {
	_, at, err := sitefile.Clock("Monday " + text)
	if err != nil {
		c.Problem(spelling.Quote(text), "a time of day, e.g. 05:30 or 23:00")
	}
	a.values = append(a.values, value{text: text, si: at.Seconds()})
}

// Until is how long it is from the cursor to the next moment at which it is this time of day, by the clock that the
// controller begins with; no time when it is that just then.
func (c *Compiler) Until(time signal.Time) signal.Time { return c.untilFrom(c.cursor, time) }

// untilFrom is Until from another moment. After an event nobody knows before what time it is.
func (c *Compiler) untilFrom(moment harness.Moment, time signal.Time) signal.Time {
	at, known := c.timeOf(moment)
	if !known {
		c.Fail("the time of day is not known here, for something before waits for an event; expected a duration")
		return 0
	}
	text := defaultClock
	if c.Site != nil && c.Site.Controller.Settings.Clock != "" {
		text = c.Site.Controller.Settings.Clock
	}
	_, began, err := sitefile.Clock(text)
	if err != nil { // which the checker of the site reports
		return 0
	}
	if at == first { // nothing has passed
		at = 0
	}
	return ((time-began-at)%signal.Day + signal.Day) % signal.Day
}

// readBy reads the time of day up to which something must have come: the next one after what it counts from, which is
// the last fault or stimulus, or else the end of the Givens.
func readBy(c *Compiler, text string, a *Args) {
	if text == "" {
		return
	}
	var time Args
	readTime(c, text, &time)
	a.by = true
	if a.within = c.untilFrom(c.counted(), time.Span(0)); a.within == 0 {
		a.within = signal.Day
	}
}

// counted is the moment that a deadline without an event counts from.
func (c *Compiler) counted() harness.Moment {
	if c.last == 0 {
		return c.Script.Begins
	}
	return harness.Moment{Act: c.last}
}

// meetBy adds an outcome with a deadline by a time of day.
func (c *Compiler) meetBy(a Args, property func(from outcome.Event, within signal.Time) outcome.Property) {
	from := outcome.Event{Condition: outcome.Condition{Signal: signal.Script.Begins().Name(), Is: outcome.On}}
	if c.last > 0 {
		from = outcome.Mark(c.Script.Acts[c.last-1].Mark)
	}
	c.deadline = max(c.deadline, c.counted().Plus+a.within)
	c.add(outcome.Outcome{From: from, Property: property(from, a.within)})
}
