package sitefile

import q "ullage/harness/quantity"

// contacts holds the levels of contacts against their tanks and against each other.
func (c *checker) contacts() {
	for i := range c.site.Contacts {
		k := &c.site.Contacts[i]
		if tank := c.reference(&k.In, "tank"); tank != nil {
			c.less(&k.Operates, &tank.entry.(*Tank).Rim, "a level below the rim of its tank")
			c.less(&k.Releases, &tank.entry.(*Tank).Rim, "a level below the rim of its tank")
		}
		if c.known(&k.Operates, &k.Releases) && k.Operates.Low() <= k.Releases.High() && k.Releases.Low() <= k.Operates.High() {
			c.wrong(&k.Releases, "the contact could operate and release at one level", "a level apart from operates (%s)", &k.Operates)
		}
	}
}

// returns demands that what shares a return wire with a contact is an output that is wired.
func (c *checker) returns() {
	for i := range c.site.Contacts {
		if r := c.site.Contacts[i].Return; r != nil {
			c.outputs(&r.SharedWith, nil)
		}
	}
}

func (c *checker) probes() {
	for i := range c.site.Probes {
		p := &c.site.Probes[i]
		c.reference(&p.In, "bed")
		c.less(&p.Dry.Moisture, &p.Wet.Moisture, "less moisture than at the wet end")
		if c.known(&p.Output) && p.Output == LoopOutput {
			c.loop(p)
			continue
		}
		for _, point := range []*ProbePoint{&p.Dry, &p.Wet} {
			c.only(point, "volts", &point.Volts, &point.Current)
		}
		c.less(&p.Wet.Volts, &p.Dry.Volts, "a voltage below that of the dry end")
		if c.known(&p.Shunt) {
			c.wrong(&p.Shunt, "the probe puts out volts", "a shunt for a probe with output: 4-20 mA only")
		}
	}
}

// loop demands two currents that differ, and a shunt over which the highest of them is still measured.
func (c *checker) loop(p *Probe) {
	for _, point := range []*ProbePoint{&p.Dry, &p.Wet} {
		c.only(point, "current", &point.Current, &point.Volts)
	}
	if c.known(&p.Dry.Current, &p.Wet.Current) && p.Dry.Current.Low() <= p.Wet.Current.High() && p.Wet.Current.Low() <= p.Dry.Current.High() {
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
