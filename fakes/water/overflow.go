package water

import (
	"math"

	"ullage/harness/numeric"
)

// SideOutlet is an overflow by a pipe through the wall of a tank, its heads counted from the invert of the pipe, the
// lowest point of the bore. While it runs part full the flow passes through its critical depth at the entry; once the
// water stands over the bore the entry is an orifice; and a pipe with a run takes what its fall and its friction let
// through to the free end, when that is less. It never runs as a siphon: air comes in at the end.
type SideOutlet struct {
	Bore  float64 // m
	Run   float64 // length of the pipe, m; 0 ends at the wall
	Fall  float64 // of the whole run, m
	Drain Drain
}

// DropPipe is an upright overflow pipe with the run that it goes on with: a Standpipe up to what the pipe lets through
// when it runs full.
type DropPipe struct {
	Bore  float64 // m
	Run   float64 // length of the pipe, m; 0 lets through what comes in
	Fall  float64 // from its crest to its free end, m
	Drain Drain
}

// Notch is a notch with sharp edges in the wall of a tank that is much wider: a rectangle of a Width, or a triangle with
// an Angle.
type Notch struct {
	Width float64 // m
	Angle float64 // rad
}

// Drain is what takes the water of an overflow pipe that is joined to it without a break: Takes, m3/s, while the water
// stands up to the crest, Depth, m, above it; with the root of that height otherwise. Takes of 0 is any flow.
type Drain struct {
	Takes float64
	Depth float64
}

// What the laws of overflows are made with.
const (
	weirCoefficient    = 0.62
	orificeCoefficient = 0.60

	bend = 0.9 // loss of an elbow, in velocity heads (textbook value)

	leastHead = 1e-6 // m, first of a rating
	mostHead  = 10   // m, last of it
)

// Rating is the rating curve of the outlet.
func (o SideOutlet) Rating() *Rating {
	c := &channel{bore: o.Bore, run: o.Run, fall: o.Fall, gravity: Standard().Gravity}
	c.cut()
	var curve curve
	add := func(flow, head float64, end section) {
		if c.run > 0 {
			head = max(head, c.backwater(flow, end))
		}
		curve.add(flow, head)
	}
	area := math.Pi / 4 * o.Bore * o.Bore
	orifice := func(head float64) float64 {
		return orificeCoefficient * area * math.Sqrt(2*c.gravity*(head-o.Bore/2))
	}
	covered := o.Bore
	for i := 0; i < len(c.sections)-1; i += 2 {
		x := c.sections[i]
		if x.energy > o.Bore && orifice(x.energy) < x.critical {
			break
		}
		add(x.critical, x.energy, x)
		covered = max(covered, x.energy)
	}
	for head := covered * 1.03; head < mostHead; head *= 1.1 {
		flow, end := orifice(head), section{}
		if c.run > 0 {
			end = c.criticalAt(flow)
		}
		add(flow, head, end)
	}
	return curve.into(o.Drain)
}

// Rating is the rating curve of the pipe.
func (p DropPipe) Rating() *Rating {
	gravity := Standard().Gravity
	area := math.Pi / 4 * p.Bore * p.Bore
	edge := 2.0 / 3 * weirCoefficient * math.Pi * p.Bore * math.Sqrt(2*gravity)
	orifice := orificeCoefficient * area * math.Sqrt(2*gravity)
	losses := (1 + squareEdge + bend) / (2 * gravity) // exit, entry and one elbow
	losses += manning * manning * p.Run / numeric.Pow(p.Bore/4, 4.0/3)
	return ratingOf(func(head float64) float64 {
		root := math.Sqrt(head)
		flow := math.Min(edge*head*root, orifice*root)
		if p.Run > 0 {
			flow = math.Min(flow, area*math.Sqrt((head+p.Fall)/losses))
		}
		return flow
	}, p.Drain)
}

// Rating is the rating curve of the notch: of a rectangle by the equation of Kindsvater and Carter (1957), of a triangle
// by that of Kindsvater and Shen, both as in ISO 1438 for a notch much narrower than the wall (coefficients from
// memory). Their additions to the head, for what small flows do, are no more than the head itself.
func (n Notch) Rating() *Rating {
	root := math.Sqrt(2 * Standard().Gravity)
	if n.Angle > 0 {
		coefficient, more := triangle(n.Angle)
		slope := numeric.Sin(n.Angle/2) / numeric.Cos(n.Angle/2)
		return ratingOf(func(head float64) float64 {
			head += math.Min(head, more)
			return 8.0 / 15 * coefficient * slope * root * head * head * math.Sqrt(head)
		}, Drain{})
	}
	const coefficient, wider, more = 0.587, 2.4e-3, 1e-3
	return ratingOf(func(head float64) float64 {
		head += math.Min(head, more)
		return 2.0 / 3 * coefficient * (n.Width + wider) * root * head * math.Sqrt(head)
	}, Drain{})
}

// triangle returns the coefficient of a triangular notch by its angle, and what is added to its head in m: polynomials
// through the curves of ISO 1438 for 20 to 100 degrees (from memory).
func triangle(angle float64) (coefficient, more float64) {
	const foot = 0.3048
	degrees := min(max(angle*180/math.Pi, 20), 100)
	coefficient = 0.607165052 + degrees*(-0.000874466963+degrees*6.10393334e-6)
	more = foot * (0.0144902648 + degrees*(-0.00033955535+degrees*(3.29819003e-6-degrees*1.06215442e-8)))
	return coefficient, more
}

// ratingOf draws the curve of a flow that is known by the head, with the drain behind it.
func ratingOf(flow func(head float64) float64, drain Drain) *Rating {
	var c curve
	for head := leastHead; head < mostHead; head *= 1.07 {
		c.add(flow(head), head)
	}
	return c.into(drain)
}

// curve gathers points that rise.
type curve struct{ points []Point }

// add takes a point unless the curve would not rise to it.
func (c *curve) add(flow, head float64) {
	if n := len(c.points); n == 0 || flow > c.points[n-1].Flow*(1+1e-9) && head > c.points[n-1].Head*(1+1e-9) {
		c.points = append(c.points, Point{Flow: flow, Head: head})
	}
}

// into is the curve of what leads into a drain: from the flow on that the drain holds back, water backs up in it.
func (c *curve) into(d Drain) *Rating {
	free := NewRating(c.points)
	if d.Takes <= 0 || d.Takes >= free.flow[len(free.flow)-1] {
		return free
	}
	const halvings, near, ratio = 60, 1e-3, 1.1
	low, high := d.Takes, free.flow[len(free.flow)-1]
	for range halvings {
		flow := (low + high) / 2
		if head, _ := free.at(flow); d.head(flow) < head {
			low = flow
		} else {
			high = flow
		}
	}
	var held curve
	add := func(flow float64) {
		head, _ := free.at(flow)
		held.add(flow, max(head, d.head(flow)))
	}
	for _, p := range c.points {
		if p.Flow < high*(1-3*near) {
			held.add(p.Flow, p.Head)
		}
	}
	for _, off := range []float64{-2, -1, 1, 2} { // the bend
		add(high * (1 + off*near))
	}
	for flow := high * ratio; d.head(flow) < mostHead; flow *= ratio {
		add(flow)
	}
	return NewRating(held.points)
}

// head is what a flow needs to stand above the crest so that the drain takes it; below 0 when it would take more.
func (d Drain) head(flow float64) float64 {
	ratio := flow / d.Takes
	return float64(d.Depth * (float64(ratio*ratio) - 1))
}
