package language

import (
	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/spelling"
)

// span is an outcome that lets something last for a time at the most.
type span struct {
	line int
	text string
	most signal.Time
}

// unreachable finds outcomes whose limit is longer than they are observed: whatever happened, they would hold. How long
// a run is that waits for an event is not known before.
func (c *Compiler) unreachable(begins, end harness.Moment) {
	from, known := c.timeOf(begins)
	to, alsoKnown := c.timeOf(end)
	if !known || !alsoKnown || c.broken {
		return
	}
	for _, s := range c.spans {
		if s.most >= to-from {
			c.step.Line = s.line
			c.Fail("%s could not fail: it is observed for %s; expected a shorter time, or more that passes",
				spelling.Quote(s.text), quantity.Format((to-from).Seconds(), quantity.Duration))
		}
	}
}

// timeOf is when a moment of the script comes; known is false when that depends on an event.
func (c *Compiler) timeOf(m harness.Moment) (at signal.Time, known bool) {
	at = m.Plus
	for m.Act > 0 {
		act := c.Script.Acts[m.Act-1]
		if act.On != nil {
			return 0, false
		}
		m = act.When
		at += m.Plus
	}
	return at, true
}

// CouldFail notes an outcome that nothing could break, and that therefore proves nothing.
func (c *Compiler) CouldFail(could bool, why string) {
	if !could {
		c.Fail("%s could not fail: %s", spelling.Quote(c.step.Text), why)
	}
}

// CouldHold notes an outcome that nothing could meet.
func (c *Compiler) CouldHold(could bool, why string) {
	if !could {
		c.Fail("%s could not hold: %s", spelling.Quote(c.step.Text), why)
	}
}
