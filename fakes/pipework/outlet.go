package pipework

import (
	"fmt"
	"math"

	"ullage/fakes/water"
	"ullage/harness/numeric"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

var torricelli = math.Sqrt(2 * water.Standard().Gravity)

// openEnd is the coefficient of an open pipe end, m³/s at 1 m. It loses one velocity head, the usual exit loss:
// flow = area √(2 g h).
func openEnd(bore float64) float64 { return math.Pi / 4 * bore * bore * torricelli }

// emitters describes openings with a flow at a pressure. Where their own check valves hold some of it back, flow counts
// from what they hold.
func emitters(flow quantity.FlowValue, at, shuts quantity.PressureValue, exponent float64,
	span sitefile.Compensation) water.Emitter {
	return water.Emitter{
		Coefficient: flow.SI / numeric.Pow(Head(at.SI-shuts.SI), exponent), Exponent: exponent,
		Compensates: Head(max(0, span.From.SI-shuts.SI)), Height: Head(shuts.SI)}
}

// outlet adds openings.
func (p *Plan) outlet(x sitefile.Outlet) {
	e := water.Emitter{Exponent: 0.5, Coefficient: openEnd(x.Bore.SI), Height: Head(x.ShutsBelow.SI)}
	if !(x.Bore.SI > 0) {
		e = emitters(x.Flow, x.At, x.ShutsBelow, x.Exponent, x.Compensates)
	}
	e.Count, e.Into = x.Count, p.Nodes[x.Into]
	e.Height += x.Height.SI - p.Heights[x.From]
	if x.Dips.SI > 0 {
		e.Height = p.Heights[x.Into] + x.Dips.SI - p.Heights[x.From]
		p.dip(x, e)
	}
	p.Outlets[x.Name] = []water.Outlet{p.Network.Emitter(x.Name, p.Nodes[x.From], e)}
	p.Coefficients[x.Name] = e.Coefficient
}

// lateral adds one drip line, node by node; equal lines side by side are one line with parts counted as many times,
// which by symmetry gives the same flows.
func (p *Plan) lateral(x sitefile.Lateral) {
	node := p.Nodes[x.From]
	emitter := emitters(x.Flow, x.At, x.ShutsBelow, x.Exponent, x.Compensates)
	emitter.Count = x.Lines
	p.Coefficients[x.Name] = emitter.Coefficient
	for i := range x.Emitters {
		name := fmt.Sprintf("%s emitter %d", x.Name, i+1)
		next := p.Network.Junction(name, x.Height.SI, 0)
		p.Network.Pipe(name, node, next, water.Pipe{Length: x.Spacing.SI, Bore: x.Bore.SI, Count: x.Lines,
			Roughness: sitefile.DefaultRoughness})
		p.Outlets[x.Name] = append(p.Outlets[x.Name], p.Network.Emitter(name, next, emitter))
		node = next
		if i == 0 {
			p.Nodes[x.Name], p.Heights[x.Name] = next, x.Height.SI
		}
	}
	p.Holes[x.Name] = p.brokenLine(x)
}

// Hole is a place where water may get out of a pipe that it should stay in.
type Hole struct {
	Outlet water.Outlet
	Way    water.Link // opens the way to it; 0 when it is always open
	Bore   float64    // m, of the pipe, which no hole is wider than
}

// leastHole is the diameter in m below which a hole is none.
const leastHole = 1e-6

// Coefficient is that of a hole of a diameter in m, in m³/s at 1 m. One as wide as the pipe is the pipe's open end.
func (h Hole) Coefficient(diameter float64) float64 {
	switch {
	case diameter >= h.Bore:
		return openEnd(h.Bore)
	case diameter < leastHole:
		return 0
	}
	return Cd * openEnd(diameter)
}

// brokenLine adds the way to a hole at the far end of one line of a lateral. The lines are drawn as one, so that what
// gets out of one of them comes to its end through a pipe of its own, which takes no part while there is no hole.
func (p *Plan) brokenLine(x sitefile.Lateral) Hole {
	name := x.Name + " broken line"
	begins, ends := p.Network.Junction(name, x.Height.SI, 0), p.Network.Junction(name+" end", x.Height.SI, 0)
	way := p.Network.Valve(name+" way", p.Nodes[x.From], begins, 0)
	p.Network.Pipe(name, begins, ends, water.Pipe{Length: x.Spacing.SI * float64(x.Emitters), Bore: x.Bore.SI,
		Roughness: sitefile.DefaultRoughness})
	return Hole{Way: way, Bore: x.Bore.SI, Outlet: p.Network.Emitter(name, ends, water.Emitter{Exponent: 0.5})}
}

// WideOpen is a flow coefficient that loses next to nothing, m³/h.
const WideOpen = 1e4
