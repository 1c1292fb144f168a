package sitefile

import (
	"math"

	q "ullage/harness/quantity"
)

// returns demands that what shares a return wire with a contact is an output that is wired.
func (c *checker) returns() {
	for i := range c.site.Contacts {
		if r := c.site.Contacts[i].Return; r != nil {
			c.outputs(&r.SharedWith, nil)
		}
	}
}

// outputsOfProbes demands that both points of a probe are given as its output has it.
func (c *checker) outputsOfProbes() {
	for i := range c.site.Probes {
		p := &c.site.Probes[i]
		if m := p.BesideMains; m != nil && c.known(&m.Frequency) && m.Frequency.SI == math.Trunc(m.Frequency.SI) {
			c.wrong(&m.Frequency, "a controller that reads once a second would meet one phase for ever",
				"a frequency that is never quite whole, e.g. 49.98 Hz or 60.02 Hz")
		}
		if c.broken[&p.Output] { // what it should have been is not guessed
			continue
		}
		if c.known(&p.Output) && p.Output == LoopOutput {
			c.loop(p)
			continue
		}
		for _, point := range []*ProbePoint{&p.Dry, &p.Wet} {
			c.only(point, "volts", &point.Volts, &point.Current)
		}
		for _, only := range []amount{&p.Shunt, &p.Needs} {
			if c.known(only) {
				c.wrong(only, "the probe puts out volts", "this for a probe with output: 4-20 mA only")
			}
		}
	}
}

// loop demands two currents that differ, and a shunt over which the highest of them is still measured.
func (c *checker) loop(p *Probe) {
	for _, point := range []*ProbePoint{&p.Dry, &p.Wet} {
		c.only(point, "current", &point.Current, &point.Volts)
	}
	if c.known(&p.Dry.Current, &p.Wet.Current) && p.Dry.Current.Low() <= p.Wet.Current.High() &&
		p.Wet.Current.Low() <= p.Dry.Current.High() {
		c.wrong(&p.Wet.Current, "", "a current apart from that of the dry end (%s)", &p.Dry.Current)
	}
	const failure = 21e-3 // A, NE 43
	rail := &c.site.Controller.Board.Rail
	if over := p.Shunt.SI * failure; c.known(rail) && !c.broken[&p.Shunt] && over > rail.SI {
		c.wrong(&p.Shunt, "21 mA, by which the transmitter reports a failure, make "+format(over, q.Voltage)+" over it",
			"a shunt with which they stay below the board's rail (%s)", rail)
	}
}

// only demands one of two ways to give the output of a probe.
func (c *checker) only(point *ProbePoint, key string, wanted, other amount) {
	switch {
	case !c.known(point): // reported already
	case c.known(other):
		c.wrong(other, "the probe's output is another", "%s in its place", key)
	case !wanted.IsSet() && !c.broken[wanted]:
		c.missing(point, key, "the output of the probe there")
	}
}
