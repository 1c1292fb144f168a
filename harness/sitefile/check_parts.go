package sitefile

import (
	"fmt"

	q "ullage/harness/quantity"
)

// protects is the highest fluid category of EN 1717 that a type of backflow preventer protects against (manufacturers'
// tables of EN 1717; the standard itself was not at hand). An air gap, AA or AB, protects against category 5.
var protects = map[string]int{"EA": 2, "EB": 2, "EC": 2, "CA": 3, "GA": 3, "BA": 4, "DC": 5}

// airGapsInPipes refuses the air gap types, with the way to write one.
func (c *checker) airGapsInPipes() {
	for i := range c.site.BackflowPreventers {
		if p := &c.site.BackflowPreventers[i]; c.known(&p.Type) && (p.Type == "AA" || p.Type == "AB") {
			c.wrong(&p.Type, "an air gap is no fitting in a pipe", "a type that passes pressure on, or an outlet into a tank with its air-gap")
		}
	}
}

func (c *checker) mains() {
	for i := range c.site.Supplies {
		s := &c.site.Supplies[i]
		c.less(&s.Residual, &s.Static, "a pressure below the static one")
	}
	for i := range c.site.BackflowPreventers {
		p := &c.site.BackflowPreventers[i]
		if c.known(&p.Type, &p.Category) && protects[p.Type] < p.Category {
			c.wrong(&p.Type, fmt.Sprintf("it protects against fluid category %d at the most", protects[p.Type]),
				"a type for category %d of EN 1717 (2: EA, EB, EC; 3: CA, GA; 4: BA; 5: DC, or an air gap into a tank)", p.Category)
		}
	}
}

func (c *checker) pipework() {
	for i := range c.site.Pipes {
		if p := &c.site.Pipes[i]; c.known(&p.HazenWilliams, &p.Roughness) {
			c.wrong(&p.Roughness, "", "either a roughness or hazen-williams")
		}
	}
	for i := range c.site.Valves {
		v := &c.site.Valves[i]
		c.coil(&v.PullIn, &v.DropOut)
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
		if !c.known(&p.DryBelow, &p.From) {
			continue
		}
		switch from := source(c.named[p.Name]); {
		case from == nil:
		case from.Kind != "tank":
			c.wrong(&p.DryBelow, fmt.Sprintf("the pump draws from the %s %q", from.Kind, from.Name), "a level for a pump that draws from a tank only")
		default:
			c.less(&p.DryBelow, &from.entry.(*Tank).Rim, "a level below the rim of its tank")
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
		t := &c.site.Tanks[i]
		c.shape(t)
		c.less(&t.Standpipe.Crest, &t.Rim, "a crest below the rim")
		for _, across := range []*q.LengthValue{&t.Length, &t.Width, &t.Diameter} {
			c.less(&t.Standpipe.Bore, across, "a bore that fits into the tank")
		}
		if c.known(&t.Starts, &t.Rim) && t.Starts.High() > t.Rim.Low() {
			c.wrong(&t.Starts, "", "a level at or below the rim (%s)", &t.Rim)
		}
	}
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

// shape demands length and width, or a diameter.
func (c *checker) shape(t *Tank) {
	given := func(p *q.LengthValue) bool { return p.IsSet() || c.broken[p] }
	if c.broken[t] {
		return
	}
	switch box := given(&t.Length) || given(&t.Width); {
	case box && given(&t.Diameter):
		c.wrong(&t.Diameter, "", "either length and width, or a diameter")
	case box && !given(&t.Width):
		c.missing(t, "width", "the width that goes with the length")
	case box && !given(&t.Length):
		c.missing(t, "length", "the length that goes with the width")
	case !box && !given(&t.Diameter):
		c.missing(t, "length", "length and width of a box, or the diameter of a cylinder")
	}
}

func (c *checker) soil() {
	for i := range c.site.Beds {
		b := &c.site.Beds[i]
		c.less(&b.WiltingPoint, &b.FieldCapacity, "a wilting point below field capacity")
		c.less(&b.FieldCapacity, &b.Saturation, "a field capacity below saturation")
		if c.known(&b.Starts, &b.Saturation) && b.Starts.High() > b.Saturation.Low() {
			c.wrong(&b.Starts, "", "a water content at or below saturation (%s)", &b.Saturation)
		}
	}
	for i := range c.site.Probes {
		p := &c.site.Probes[i]
		c.reference(&p.In, "bed")
		c.less(&p.Dry.Moisture, &p.Wet.Moisture, "less moisture than at the wet end")
		c.less(&p.Wet.Volts, &p.Dry.Volts, "a voltage below that of the dry end")
	}
}
