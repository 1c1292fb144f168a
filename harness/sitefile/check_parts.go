package sitefile

import (
	"fmt"

	q "ullage/harness/quantity"
	"ullage/harness/signal"
)

// airGapsInPipes refuses the air gap types, with the way to write one.
func (c *checker) airGapsInPipes() {
	for i := range c.site.BackflowPreventers {
		if p := &c.site.BackflowPreventers[i]; c.known(&p.Type) && (p.Type == "AA" || p.Type == "AB") {
			c.wrong(&p.Type, "an air gap is no fitting in a pipe",
				"a type that passes pressure on, or an outlet into a tank with its air-gap")
		}
	}
}

func (c *checker) mains() {
	for i := range c.site.Supplies {
		s := &c.site.Supplies[i]
		c.less(&s.Residual, &s.Static, "a pressure below the static one")
		c.daily(s)
	}
}

// daily demands times of day that rise, and changes that are over before the next begins.
func (c *checker) daily(s *Supply) {
	times := make([]signal.Time, len(s.Daily))
	for i := range s.Daily {
		d := &s.Daily[i]
		if !c.known(&d.From) {
			return
		}
		at, err := TimeOfDay(d.From)
		if err != nil {
			c.wrong(&d.From, "", "%v", err)
			return
		}
		if i > 0 && at <= times[i-1] {
			c.wrong(&d.From, "the change before it begins at "+s.Daily[i-1].From, "times of day that rise")
			return
		}
		times[i] = at
	}
	for i := range s.Daily {
		d := &s.Daily[i]
		next := times[0] + signal.Day
		if i+1 < len(times) {
			next = times[i+1]
		}
		if c.known(&d.Over) && times[i]+signal.FromSeconds(d.Over.SI) > next {
			c.wrong(&d.Over, "the next change begins "+format((next-times[i]).Seconds(), q.Duration)+" later",
				"a change that is over by then")
		}
	}
}

func (c *checker) pipework() {
	for i := range c.site.Pipes {
		p := &c.site.Pipes[i]
		c.wall(p)
		if c.known(&p.HazenWilliams, &p.Roughness) {
			c.wrong(&p.Roughness, "", "either a roughness or hazen-williams")
		}
	}
	for i := range c.site.Regulators {
		r := &c.site.Regulators[i]
		if c.known(&r.Sets, &r.LocksUpAt) && r.LocksUpAt.Low() < r.Sets.High() {
			c.wrong(&r.LocksUpAt, "at rest it holds no less than while water runs", "at least what it sets (%s)", &r.Sets)
		}
	}
	for i := range c.site.Valves {
		v := &c.site.Valves[i]
		c.coil(&v.PullIn, &v.DropOut)
		c.operation(&v.Operation)
	}
}

// coil demands that a coil lifts at the controller's supply and lets go at less than it lifts at.
func (c *checker) coil(pullIn, dropOut *q.VoltageValue) {
	c.less(dropOut, pullIn, "a voltage below pull-in")
	c.less(pullIn, &c.site.Controller.Supply, "a voltage below the controller's supply")
}

func (c *checker) pumps() {
	for i := range c.site.Pumps {
		p := &c.site.Pumps[i]
		c.coil(&p.PullIn, &p.DropOut)
		c.curve(p)
		c.less(&p.PressureSwitch.CutIn, &p.PressureSwitch.CutOut, "a pressure below that at which the pump stops")
		c.less(&p.PressureSwitch.Charge, &p.PressureSwitch.CutOut, "a pressure below that at which the pump stops")
		if !c.known(&p.From) {
			continue
		}
		switch from := source(c.named[p.Name]); {
		case from == nil:
		case from.Kind == "tank":
			c.priming(p, from.entry.(*Tank))
		default:
			for _, level := range []*q.LengthValue{&p.DryBelow, &p.FloodsAbove} {
				if c.known(level) {
					c.wrong(level, fmt.Sprintf("the pump draws from the %s %q", from.Kind, from.Name),
						"a level for a pump that draws from a tank only")
				}
			}
		}
	}
}

// curve demands two or three points, the first at no flow, with the head falling from each to the next.
func (c *checker) curve(p *Pump) {
	if !c.known(&p.Curve) {
		return
	}
	if n := len(p.Curve); n < 2 || n > 3 {
		c.wrong(&p.Curve, fmt.Sprintf("points: %d", n), "two or three points of the curve, the first at no flow")
		return
	}
	if first := &p.Curve[0].Flow; c.known(first) && first.SI != 0 {
		c.wrong(first, "", "0 L/min at the first point")
	}
	for i := range p.Curve[1:] {
		before, point := &p.Curve[i], &p.Curve[i+1]
		c.less(&before.Flow, &point.Flow, "a flow below that of the next point")
		if c.known(&before.Head, &point.Head) && point.Head.High() >= before.Head.Low() {
			c.wrong(&point.Head, "the curve does not fall", "a head below that of the point before (%s)", &before.Head)
		}
	}
}

func (c *checker) tanks() {
	for i := range c.site.Tanks {
		c.tank(&c.site.Tanks[i])
	}
	for i := range c.site.Contacts {
		k := &c.site.Contacts[i]
		if tank := c.reference(&k.In, "tank"); tank != nil {
			c.less(&k.Operates, &tank.entry.(*Tank).Rim, "a level below the rim of its tank")
			c.less(&k.Releases, &tank.entry.(*Tank).Rim, "a level below the rim of its tank")
		}
		if c.known(&k.Operates, &k.Releases) && k.Operates.Low() <= k.Releases.High() &&
			k.Releases.Low() <= k.Operates.High() {
			c.wrong(&k.Releases, "the contact could operate and release at one level",
				"a level apart from operates (%s)", &k.Operates)
		}
	}
}
