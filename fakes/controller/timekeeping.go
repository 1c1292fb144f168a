package controller

import (
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// notTwice is how long a start of a programme that has run is not run again, when the clock is put back: common practice, no
// source.
const notTwice = 12 * signal.Hour

// wrapsAt is where a counter of milliseconds of 32 bits begins anew, ms.
const wrapsAt = 1 << 32

// openClock offers the knobs of the clock and of the counter of milliseconds.
func (c *Controller) openClock(panel *fault.Panel) {
	knob := func(name string, dim quantity.Dimension, least, most float64, join fault.Join, set func(at signal.Time, v float64)) {
		panel.Offer(fault.Knob{Device: "controller", Kind: "controller", Name: name, Dim: dim, Min: least, Max: most, Join: join,
			Set: func(at signal.Time, v float64) error {
				set(at, v)
				return nil
			}})
	}
	knob("clock step", quantity.Duration, -week.Seconds(), week.Seconds(), fault.Add, func(_ signal.Time, v float64) {
		before := c.clock.stepped
		if c.clock.stepped = signal.FromSeconds(v); c.clock.stepped != before {
			c.replan(c.clock.stepped < before)
		}
	})
	knob("clock unset", quantity.State, 0, 1, fault.Largest, func(at signal.Time, v float64) {
		if unset := v > 0; unset != c.clock.unset {
			c.clock.unset, c.clock.epoch = unset, at
			c.replan(false)
			if c.power.running() {
				c.confesses()
			}
		}
	})
	knob("counter", quantity.Count, 0, wrapsAt, fault.Replace, func(at signal.Time, v float64) {
		c.counted, c.counter = v > 0, signal.Time(v)*signal.Millisecond-at
	})
}

// replan looks for the next start of each programme after the clock has changed.
func (c *Controller) replan(back bool) {
	for _, r := range c.rules {
		p, ok := r.(*programme)
		if !ok || !p.begun {
			continue
		}
		if p.plan(c.now); back && p.next != c.clock.next(c.now, p.starts) {
			c.meets()
		}
	}
	c.stirred = true
}

// plan finds the next start from a moment on. Without a time of day there is none.
func (p *programme) plan(from signal.Time) {
	p.next = signal.Never
	if p.c.clock.unset && !p.c.has(clockUnsetTrusted) {
		return
	}
	for i := range p.starts {
		start := p.starts[i : i+1]
		at := p.c.clock.next(from, start)
		if p.has(i) && at-p.ran[i] < notTwice && !p.c.has(startRepeated) {
			at = p.c.clock.next(at+1, start)
		}
		p.next = min(p.next, at)
	}
}

// has says whether a start has run before.
func (p *programme) has(i int) bool { return i < len(p.ran) && p.ran[i] >= 0 }

// runs notes that the starts of a moment have run.
func (p *programme) runs(at signal.Time) {
	for len(p.ran) < len(p.starts) {
		p.ran = append(p.ran, -1)
	}
	for i := range p.starts {
		if p.c.clock.next(at, p.starts[i:i+1]) == at {
			p.ran[i] = at
		}
	}
}

// keepsTime says whether a rule needs the time of day.
func (c *Controller) keepsTime() bool {
	for _, r := range c.rules {
		if _, ok := r.(*programme); ok {
			return true
		}
	}
	return false
}

// wrap is which ends of a counter of 32 bits lie within a span of time.
type wrap struct{ signed, unsigned bool }

// wraps finds them, and notes when there is one: a firmware that compares what it counts is met by it.
func (c *Controller) wraps(from, until signal.Time) wrap {
	if !c.counted || until == signal.Never {
		return wrap{}
	}
	a, b := (c.counter+from)/signal.Millisecond, (c.counter+until)/signal.Millisecond
	w := wrap{signed: (a>>31)&1 == 0 && a>>31 != b>>31, unsigned: a>>32 != b>>32}
	if w.signed || w.unsigned {
		c.meets()
	}
	return w
}

// missed says whether a defect never sees the end of a span with such ends in it.
func (c *Controller) missed(w wrap) bool {
	return w.signed && c.has(counterSigned) || w.unsigned && c.has(counterCompared)
}
