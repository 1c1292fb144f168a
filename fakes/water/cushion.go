package water

import "math"

// Cushion is a diaphragm vessel: water that comes in presses its air together,
// pressure times volume of the air staying the same (Boyle 1662, isothermal).
// Its levels are heads in m of water above the atmosphere, its volumes the water
// that it and the pipes around it hold more than without pressure.
type Cushion struct {
	Size       float64 // of the vessel, m3
	Charge     float64 // head of its air while no water is in it, m
	Air        float64 // share of that air that is left
	Atmosphere float64 // head of the atmosphere, m
	Give       float64 // m3 by which the pipes widen for each m of head; above 0
}

// Volume returns what is held at a head.
func (c Cushion) Volume(head float64) float64 {
	held := float64(c.Give * head)
	if head > c.lifts() {
		held += c.taken(head) - c.taken(c.lifts())
	}
	return held
}

// Area returns how much more is held for a metre of head.
func (c Cushion) Area(head float64) float64 {
	if head <= c.lifts() {
		return c.Give
	}
	air := head + c.Atmosphere
	return c.Give + c.boyle()/float64(air*air)
}

// Level returns the head at which so much is held: with the air's absolute
// head a, Give a2 + b a - boyle = 0.
func (c Cushion) Level(volume float64) float64 {
	lifts := c.lifts()
	if volume <= float64(c.Give*lifts) {
		return volume / c.Give
	}
	b := c.boyle()/(lifts+c.Atmosphere) - float64(c.Give*c.Atmosphere) - volume
	root := math.Sqrt(float64(b*b) + float64(4*c.Give*c.boyle()))
	if b > 0 { // of two equal expressions the one in which nothing cancels
		return 2*c.boyle()/(b+root) - c.Atmosphere
	}
	return (root-b)/(2*c.Give) - c.Atmosphere
}

// boyle is what absolute head times volume of the air always makes, m4.
func (c Cushion) boyle() float64 { return c.Air * c.Size * (c.Charge + c.Atmosphere) }

// taken is the water in the vessel at a head.
func (c Cushion) taken(head float64) float64 { return c.Size - c.boyle()/(head+c.Atmosphere) }

// lifts is the head at which the diaphragm leaves the wall: below, the air
// fills the vessel. One that lacks air may hold water without any head.
func (c Cushion) lifts() float64 {
	return math.Max(0, float64(c.Air*(c.Charge+c.Atmosphere))-c.Atmosphere)
}
