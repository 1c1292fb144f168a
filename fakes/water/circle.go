package water

import (
	"math"
	"sort"

	"ullage/harness/numeric"
)

// channel is a round pipe that may run part full, as an overflow or a drain does, with its sections at depths that rise
// from next to none up to the bore.
type channel struct {
	bore     float64 // m
	run      float64 // length, m
	fall     float64 // of its whole length, m
	gravity  float64 // m/s2
	sections []section
}

// section is the water in a pipe at one depth.
type section struct {
	depth    float64 // m
	filled   float64 // share of the bore's area
	critical float64 // flow that is critical, m3/s
	energy   float64 // specific energy of that flow, m
	velocity float64 // velocity head of unit flow, m
	friction float64 // slope of the energy line of unit flow
}

// manning is the roughness coefficient of a smooth plastic pipe, s/m^(1/3) (V. T. Chow 1959, table 5-6, from memory).
const manning = 0.010

// at returns the section at a depth below the bore: mensuration of the circle; flow^2 width = g area^3 where the flow is
// critical, with the energy depth + area / (2 width) (V. T. Chow, Open-Channel Hydraulics, 1959, table 2-1 and section
// 4-4); friction by the formula of R. Manning (1891).
func (c *channel) at(depth float64) section {
	cos := 1 - 2*depth/c.bore
	angle := numeric.Acos(cos) // half of that at the centre
	width := 2 * math.Sqrt(max(0, float64(depth*(c.bore-depth))))
	area := c.bore / 4 * (float64(c.bore*angle) - float64(cos*width))
	x := section{depth: depth, filled: area / (math.Pi / 4 * c.bore * c.bore), critical: math.Inf(1)}
	if width > 0 {
		mean := area / width
		x.critical, x.energy = area*math.Sqrt(float64(c.gravity*mean)), depth+mean/2
	}
	x.velocity = 1 / (2 * c.gravity * area * area)
	slowed := manning / area
	x.friction = float64(slowed*slowed) / numeric.Pow(area/float64(c.bore*angle), 4.0/3)
	return x
}

// cut places the sections.
func (c *channel) cut() {
	const finest, even, ratio, step = 1e-5, 0.5, 1.07, 0.01 // of depths over the bore
	for depth := finest * c.bore; depth < 0.99*c.bore; {
		c.sections = append(c.sections, c.at(depth))
		depth = min(depth*ratio, max(depth, even*c.bore)+step*c.bore)
	}
	c.sections = append(c.sections, c.at(c.bore))
}

// criticalAt is the section in which a flow is critical, drawn straight between two of the sections; the full bore for
// one that all but fills it.
func (c *channel) criticalAt(flow float64) section {
	i := sort.Search(len(c.sections)-1, func(i int) bool { return c.sections[i].critical >= flow })
	if i == 0 || i == len(c.sections)-1 {
		return c.sections[i]
	}
	below, above := c.sections[i-1], c.sections[i]
	share := (flow - below.critical) / (above.critical - below.critical)
	return c.at(below.depth + float64(share*(above.depth-below.depth)))
}

// backwater is the head over the invert of the entry that a flow needs so that it reaches the free end of the pipe,
// where it passes through its critical section; 0 for a pipe so steep that the friction has no hold on the entry. The
// profile is drawn from the end up by the direct step method (Chow 1959, section 10-2).
func (c *channel) backwater(flow float64, end section) float64 {
	square := float64(flow * flow)
	energyOf := func(x section) float64 { return x.depth + float64(square*x.velocity) }
	bed, way, here := c.fall/c.run, c.run, end
	if square*end.friction <= bed {
		return 0
	}
	energy := energyOf(end)
	for _, next := range c.sections {
		if next.depth <= here.depth {
			continue
		}
		climbs := float64(square*(here.friction+next.friction)/2) - bed
		if climbs <= 0 { // from here up it keeps its depth
			return energy + c.entryLoss(square, here)
		}
		rise := energyOf(next) - energy
		if length := rise / climbs; length >= way {
			share := way / length
			filled := here.filled + float64(share*(next.filled-here.filled))
			return energy + float64(share*rise) + c.entryLoss(square, section{filled: filled, velocity: here.velocity})
		} else {
			way -= max(0, length)
		}
		here, energy = next, energyOf(next)
	}
	return energy + max(0, float64(way*(float64(square*here.friction)-bed))) + c.entryLoss(square, here)
}

// entryLoss is what a square edge takes: half a velocity head of a full pipe (textbook value), and of one that runs part
// full as much less as its bore is dry.
func (c *channel) entryLoss(square float64, x section) float64 {
	return float64(squareEdge * x.filled * square * x.velocity)
}

// squareEdge is the loss at the entry of a full pipe with a square edge, in velocity heads (textbook value).
const squareEdge = 0.5
