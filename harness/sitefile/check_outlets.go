package sitefile

import (
	"fmt"

	q "ullage/harness/quantity"
)

func (c *checker) openings() {
	for i := range c.site.Outlets {
		o := &c.site.Outlets[i]
		c.opening(o)
		c.emitters(&o.At, &o.ShutsBelow, &o.Compensates, &o.Exponent)
		c.reference(&o.Onto, "bed")
		tank := c.reference(&o.Into, "tank")
		switch {
		case c.known(&o.Onto, &o.Into):
			c.wrong(&o.Into, "", "either onto a bed or into a tank")
		case c.known(&o.Dips, &o.AirGap):
			c.wrong(&o.Dips, "", "either an air gap, or the level to which the outlet dips")
		case c.known(&o.Dips) && !c.known(&o.Into) && !c.broken[&o.Into]:
			c.wrong(&o.Dips, "", "a level in a tank only with into")
		case tank != nil && c.known(&o.Dips):
			c.dip(o, tank.entry.(*Tank))
		case c.known(&o.Into) && !c.known(&o.AirGap) && !c.broken[&o.AirGap] && !c.broken[&o.Dips]:
			c.missing(
				o,
				"air-gap",
				"the height of the outlet over the rim of its tank, or dips, the level of its opening in the water",
			)
		case c.known(&o.AirGap) && !c.known(&o.Into) && !c.broken[&o.Into]:
			c.wrong(&o.AirGap, "", "an air gap only with into")
		case tank != nil && c.known(&o.AirGap):
			c.airGap(o, tank.entry.(*Tank))
		}
	}
	for i := range c.site.Laterals {
		l := &c.site.Laterals[i]
		c.reference(&l.Onto, "bed")
		c.emitters(&l.At, &l.ShutsBelow, &l.Compensates, &l.Exponent)
	}
}

// emitters demands that the pressure at which the flow is given lies where the emitters work.
func (c *checker) emitters(at, shuts *q.PressureValue, span *Compensation, exponent *float64) {
	c.less(shuts, at, "a pressure below that at which the flow is given")
	c.less(shuts, &span.From, "a pressure below the range that is compensated")
	c.less(&span.From, &span.To, "a pressure below the end of the range")
	if c.known(at, &span.From, &span.To) && (at.Low() < span.From.Low() || at.High() > span.To.High()) {
		c.wrong(at, "the flow is given outside of the range that is compensated", "a pressure from %s to %s",
			&span.From, &span.To)
	}
	if span.From.IsSet() && c.known(exponent) && *exponent >= DefaultExponent {
		c.wrong(exponent, "openings with such an exponent compensate nothing", "an exponent below 0.5, or none")
	}
}

// opening demands a flow at a pressure, or a bore.
func (c *checker) opening(o *Outlet) {
	given := func(p amount) bool { return p.IsSet() || c.broken[p] }
	if c.broken[o] {
		return
	}
	switch flow := given(&o.Flow) || given(&o.At); {
	case flow && given(&o.Bore):
		c.wrong(&o.Bore, "", "either a flow at a pressure, or the bore of an open end")
	case given(&o.Bore) && given(&o.Compensates.From):
		c.wrong(&o.Bore, "", "either a range that is compensated, or the bore of an open end")
	case given(&o.Bore) && o.Exponent != DefaultExponent && c.known(&o.Exponent):
		c.wrong(&o.Exponent, "", "no exponent for an open end")
	case flow && !given(&o.At):
		c.missing(o, "at", "the pressure at which the flow is given")
	case flow && !given(&o.Flow):
		c.missing(o, "flow", "the flow of one opening at that pressure")
	case !flow && !given(&o.Bore):
		c.missing(o, "flow", "flow and at, or the bore of an open end")
	}
}

// airGap demands that the outlet is as high as it says. That the gap is wide enough is a matter of Warnings: a site may
// break a rule, and is then to be tried as it is.
func (c *checker) airGap(o *Outlet, tank *Tank) {
	if !c.known(&tank.Rim) || source(c.named[o.Name]) == nil {
		return
	}
	height := c.named[o.Name]
	for !height.height.IsSet() && height.inlet != nil {
		height = height.inlet
	}
	const rounding = 1e-9 // m
	needed := tank.Floor.High() + tank.Rim.High() + o.AirGap.High()
	if height.height.Low() < needed-rounding {
		why := fmt.Sprintf("the outlet is %s above the datum, floor, rim and air gap of the tank make %s",
			format(height.height.Low(), q.Length), format(needed, q.Length))
		at := amount(&o.Height)
		if !c.known(at) {
			at = &o.AirGap
		}
		c.wrong(at, why, "a height of %s or more", format(needed, q.Length))
	}
}
