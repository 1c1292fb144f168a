package language

import (
	"fmt"
	"slices"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Happen makes a fault or stimulus happen at the cursor, or after its event, and moves the cursor there. What is not
// tied to an event comes at a moment at which the controller has booted and is connected.
func (c *Compiler) Happen(act harness.Act, a Args) {
	if act.Fault == "" {
		act.Turns = c.mannered(act.Turns, nil, a)
	}
	act.When = c.cursor
	act.When.Plus += a.Wait
	if a.Event != nil {
		act.On, act.During, act.After, act.Within = a.Event, a.During, a.After, patience
	} else if c.cursor.Act == 0 {
		act.When.Plus = max(act.When.Plus, c.Settled)
	}
	c.append(act)
	c.last = len(c.Script.Acts)
	c.cursor = harness.Moment{Act: c.last}
}

// append adds an act with a mark of its own.
func (c *Compiler) append(act harness.Act) {
	act.Text = c.step.Text
	mark := act.Mark
	for n := 2; slices.ContainsFunc(c.Script.Acts, func(a harness.Act) bool { return a.Mark == act.Mark }); n++ {
		act.Mark = fmt.Sprintf("%s %d", mark, n)
	}
	c.Script.Acts = append(c.Script.Acts, act)
}

// Turn is one window on one knob of a stimulus.
func Turn(device, knob string, value float64, length signal.Time) []fault.Turn {
	return []fault.Turn{{Device: device, Knob: knob, Value: value, Until: length}}
}

// mannered is the turns of an act in the manner that was asked for. entry is the fault's; nil for a stimulus.
func (c *Compiler) mannered(turns []fault.Turn, entry *fault.Entry, a Args) []fault.Turn {
	if a.over > 0 {
		turns = c.gradual(turns, entry, a)
	}
	for _, t := range turns {
		if t.Over > 0 && t.Until <= t.Over {
			c.Fail("it is to end after %v, before it has come gradually over %v; expected a longer window", t.Until,
				t.Over)
			return turns
		}
	}
	if a.times > 0 {
		return c.repeated(turns, a)
	}
	return turns
}

// gradual has the knobs go to their values over a time. Only what has a degree can.
func (c *Compiler) gradual(turns []fault.Turn, entry *fault.Entry, a Args) []fault.Turn {
	if entry == nil || !entry.HasDegree() {
		c.Fail("this cannot come gradually: it is there or not; gradually is for faults with a figure that grows")
		return turns
	}
	for i := range turns {
		turns[i].Over = a.over
	}
	return turns
}

// repeated is the turns made again and again. Each must have ended before the next begins.
func (c *Compiler) repeated(turns []fault.Turn, a Args) []fault.Turn {
	var all []fault.Turn
	for _, t := range turns {
		if t.Until >= a.period {
			c.Fail(
				"it happens again every %s and lasts %s; expected it to end before it begins again, e.g. \"... for 10 s\"",
				quantity.Format(a.period.Seconds(), quantity.Duration),
				lasts(t.Until),
			)
			return turns
		}
	}
	for n := range a.times {
		for _, t := range turns {
			t.From += signal.Time(n) * a.period
			t.Until += signal.Time(n) * a.period
			all = append(all, t)
		}
	}
	return all
}

func lasts(until signal.Time) string {
	if until == signal.Never {
		return "to the end of the run"
	}
	return quantity.Format(until.Seconds(), quantity.Duration)
}
