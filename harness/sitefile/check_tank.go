package sitefile

import (
	"fmt"
	"math"

	q "ullage/harness/quantity"
)

// tank demands a shape, and overflows that fit into it.
func (c *checker) tank(t *Tank) {
	c.shape(t)
	c.overflows(t)
	if c.known(&t.Starts, &t.Rim) && t.Starts.High() > t.Rim.Low() {
		c.wrong(&t.Starts, "", "a level at or below the rim (%s)", &t.Rim)
	}
	if c.known(&t.Runoff) && !t.Catchment.IsSet() && !c.broken[&t.Catchment] {
		c.missing(t, "catchment", "the area from which that share of the rain arrives")
	}
	for i := range t.Draws {
		c.drawn(&t.Draws[i])
	}
}

// overflows demands crests below the rim, bores that fit, pipes no steeper than upright, and one shape of a notch.
func (c *checker) overflows(t *Tank) {
	c.less(&t.Standpipe.Crest, &t.Rim, "a crest below the rim")
	c.less(&t.SideOutlet.Invert, &t.Rim, "an invert below the rim")
	c.less(&t.Weir.Crest, &t.Rim, "a crest below the rim")
	for _, across := range []*q.LengthValue{&t.Length, &t.Width, &t.Diameter} {
		c.less(&t.Standpipe.Bore, across, "a bore that fits into the tank")
		c.less(&t.SideOutlet.Bore, across, "a bore that fits into the tank")
	}
	c.drainage(&t.Standpipe, &t.Standpipe.Drainage)
	c.drainage(&t.SideOutlet, &t.SideOutlet.Drainage)
	switch w := &t.Weir; {
	case !c.known(w) || c.broken[&w.Width] || c.broken[&w.Angle]:
	case w.Width.IsSet() && w.Angle > 0:
		c.wrong(&w.Angle, "", "either the width of a rectangular notch or the angle of a triangular one")
	case !w.Width.IsSet() && w.Angle == 0:
		c.missing(w, "width", "the width of a rectangular notch, or the angle of a triangular one")
	}
}

// drainage demands a run where a pipe falls or ends in a drain.
func (c *checker) drainage(pipe any, d *Drainage) {
	switch {
	case c.broken[&d.Run]:
	case (c.known(&d.Fall) || c.known(&d.Drain)) && !d.Run.IsSet():
		c.missing(pipe, "run", "the length of the pipe from the tank to its end")
	case c.known(&d.Fall, &d.Run) && d.Fall.Low() > d.Run.High():
		c.wrong(&d.Fall, "no pipe falls by more than its length", "at most its run (%s)", &d.Run)
	}
}

// shape demands length and width, a diameter, a diameter and a length, or a table.
func (c *checker) shape(t *Tank) {
	given := func(p *q.LengthValue) bool { return p.IsSet() || c.broken[p] }
	length, width, diameter := given(&t.Length), given(&t.Width), given(&t.Diameter)
	table := c.known(&t.Table) || c.broken[&t.Table]
	switch {
	case c.broken[t]:
	case table && (length || width || diameter):
		c.wrong(&t.Table, "", "either a table, or length, width or diameter")
	case table:
		c.table(t)
	case width && diameter:
		c.wrong(&t.Diameter, "", "either length and width, or a diameter")
	case width && !length:
		c.missing(t, "length", "the length that goes with the width")
	case length && !width && !diameter:
		c.missing(t, "width", "the width that goes with the length, or the diameter of a cylinder on its side")
	case !width && !diameter:
		c.missing(t, "length", "length and width of a box, the diameter of a cylinder, or a table")
	case length && c.known(&t.Rim, &t.Diameter) && t.Rim.High() > t.Diameter.Low():
		c.wrong(&t.Rim, "the cylinder lies on its side", "a rim at or below its diameter (%s)", &t.Diameter)
	}
}

// table demands rows that begin at nothing, rise, and reach the rim.
func (c *checker) table(t *Tank) {
	if !c.known(&t.Table) {
		return
	}
	if n := len(t.Table); n < 2 {
		c.wrong(&t.Table, fmt.Sprintf("rows: %d", n), "two rows or more, the first at level 0 mm")
		return
	}
	first, last := &t.Table[0], &t.Table[len(t.Table)-1]
	if c.known(&first.Level) && first.Level.High() != 0 {
		c.wrong(&first.Level, "", "0 mm in the first row")
	}
	if c.known(&first.Volume) && first.Volume.High() != 0 {
		c.wrong(&first.Volume, "", "0 L in the first row")
	}
	for i := range t.Table[1:] {
		before, row := &t.Table[i], &t.Table[i+1]
		c.less(&before.Level, &row.Level, "a level below that of the next row")
		c.less(&before.Volume, &row.Volume, "a volume below that of the next row")
	}
	if c.known(&last.Level, &t.Rim) && last.Level.Low() < t.Rim.High() {
		c.wrong(&last.Level, "", "a table that reaches up to the rim (%s)", &t.Rim)
	}
}

// drawn demands two different times of day.
func (c *checker) drawn(d *Draw) {
	for _, text := range []*string{&d.From, &d.To} {
		if !c.known(text) {
			continue
		}
		if _, err := TimeOfDay(*text); err != nil {
			c.wrong(text, "", "%s", err)
		}
	}
	if c.known(&d.From, &d.To) && d.From == d.To {
		c.wrong(&d.To, "", "another time of day than that at which it begins")
	}
}

// priming demands a level at which a pump is flooded above that at which it draws air.
func (c *checker) priming(p *Pump, tank *Tank) {
	c.less(&p.DryBelow, &tank.Rim, "a level below the rim of its tank")
	c.less(&p.DryBelow, &p.FloodsAbove, "a level below that at which its suction is flooded")
	c.less(&p.FloodsAbove, &tank.Rim, "a level below the rim of its tank")
	if c.known(&p.FloodsAbove, &p.Priming) && p.Priming == SelfPriming {
		c.wrong(&p.FloodsAbove, "a self-priming pump draws its water up",
			"no such level, or a pump that primes flooded")
	}
}

// dip demands an opening below the rim of another tank than the water comes from, by the law of an orifice.
func (c *checker) dip(o *Outlet, tank *Tank) {
	c.less(&o.Dips, &tank.Rim, "a level below the rim of its tank")
	if o.From == tank.Name {
		c.wrong(&o.Into, "its water comes from there", "another tank")
	}
	if c.known(&o.Exponent) && math.Abs(o.Exponent-DefaultExponent) > 1e-9 {
		c.wrong(&o.Exponent, "under water the openings count as orifices", "no exponent, or %g, where the outlet dips",
			DefaultExponent)
	}
}
