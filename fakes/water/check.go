package water

import (
	"errors"
	"fmt"
	"math"
)

// checker collects what is wrong with a description.
type checker struct {
	network *Network
	errs    []error
}

// check returns everything that is wrong with the description, or nil.
func (n *Network) check() error {
	c := &checker{network: n}
	c.constants(n.constants())
	for _, spec := range n.nodes {
		c.node(spec)
	}
	held := map[Node]string{}
	for _, spec := range n.links {
		c.link(spec)
		if spec.kind != regulator {
			continue
		}
		if other, twice := held[spec.to]; twice {
			c.fault(spec.name, "regulates the same node as %q; "+
				"give each regulator a node of its own and join them by pipes", other)
		}
		held[spec.to] = spec.name
	}
	for _, spec := range n.supplies {
		c.supply(spec)
	}
	for _, spec := range n.outlets {
		c.outlet(spec)
	}
	return errors.Join(c.errs...)
}

func (c *checker) fault(name, format string, args ...any) {
	c.errs = append(c.errs, fmt.Errorf("water: %q "+format, append([]any{name}, args...)...))
}

// between demands that a value is at least low and below infinity; strictly
// demands more than low.
func (c *checker) between(name, what string, value, low float64, strictly bool) {
	if value > low && !math.IsInf(value, 1) || value == low && !strictly {
		return
	}
	bound := "of at least"
	if strictly {
		bound = "above"
	}
	c.fault(name, "has %s %v; a finite number %s %v is needed", what, value, bound, low)
}

func (c *checker) finite(name, what string, value float64) {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		c.fault(name, "has %s %v; a finite number is needed", what, value)
	}
}

func (c *checker) constants(k Constants) {
	const name = "constants"
	c.between(name, "gravity", k.Gravity, 0, true)
	c.between(name, "density", k.Density, 0, true)
	c.between(name, "viscosity", k.Viscosity, 0, true)
	c.between(name, "Hazen-Williams constant", k.HazenWilliams, 0, true)
	c.between(name, "Hazen-Williams exponent of the bore", k.HazenWilliamsBore, 0, true)
	if k.Friction > SwameeJain {
		c.fault(name, "names friction law %d; ColebrookWhite and SwameeJain are known", k.Friction)
	}
}

func (c *checker) node(spec nodeSpec) {
	c.finite(spec.name, "elevation", spec.elevation)
	c.finite(spec.name, "draw", spec.draw)
	if spec.kind == tank && spec.vessel == nil {
		c.fault(spec.name, "is a tank without a vessel; give its geometry")
	}
}

// known reports whether a node belongs to the network.
func (c *checker) known(name, what string, node Node) bool {
	if node >= 1 && int(node) <= len(c.network.nodes) {
		return true
	}
	c.fault(name, "%s a node that the network does not have", what)
	return false
}

func (c *checker) isTank(node Node) bool { return c.network.nodes[node-1].kind == tank }

func (c *checker) link(spec linkSpec) {
	known := c.known(spec.name, "starts at", spec.from)
	known = c.known(spec.name, "ends at", spec.to) && known
	if known && spec.from == spec.to {
		c.fault(spec.name, "starts and ends at %q; two different nodes are needed", c.network.nodes[spec.from-1].name)
	}
	switch spec.kind {
	case hazenWilliams:
		c.pipe(spec.name, spec.pipe)
	case pumping:
		c.pump(spec.name, spec.pump)
	case crest:
		c.finite(spec.name, "head of vapour", spec.setting)
	case diaphragm:
		c.between(spec.name, "lift", spec.opening, 0, true)
	case regulator:
		c.finite(spec.name, "setting", spec.setting)
		if known && c.network.nodes[spec.to-1].kind != junction {
			c.fault(spec.name, "ends at %q; a regulator must end at a junction, whose pressure it sets",
				c.network.nodes[spec.to-1].name)
		}
		fallthrough
	default:
		c.between(spec.name, "Kv", spec.kv, 0, false)
		c.between(spec.name, "opening loss", spec.opening, 0, false)
	}
}

func (c *checker) pipe(name string, pipe Pipe) {
	c.between(name, "length", pipe.Length, 0, true)
	c.between(name, "bore", pipe.Bore, 0, true)
	c.between(name, "count", float64(pipe.Count), 0, false)
	c.between(name, "minor loss", pipe.Minor, 0, false)
	c.between(name, "Hazen-Williams coefficient", pipe.HazenWilliams, 0, false)
	c.between(name, "roughness", pipe.Roughness, 0, false)
	if pipe.Roughness > 0.1*pipe.Bore {
		c.fault(name, "has roughness %v m in a bore of %v m; more than a tenth of the bore is outside the friction law",
			pipe.Roughness, pipe.Bore)
	}
}

func (c *checker) pump(name string, pump Pump) {
	switch points := pump.Points; {
	case len(points) == 1 && points[0].Flow > 0 && points[0].Head > 0:
	case len(points) == 3 && points[0].Flow == 0 && points[1].Flow > 0 && points[2].Flow > points[1].Flow &&
		points[0].Head > points[1].Head && points[1].Head > points[2].Head && points[2].Head >= 0:
	case len(points) > 0:
		c.fault(name, "has a curve of points %v; "+
			"one point, or three with rising flow from 0 and falling head, are needed", points)
		return
	}
	pump = fitCurve(pump)
	c.between(name, "shut-off head", pump.Shutoff, 0, true)
	c.between(name, "curve coefficient A", pump.A, 0, true)
	c.between(name, "Kv when idle", pump.IdleKv, 0, false)
	if !(pump.B >= 1 && pump.B <= 20) {
		c.fault(name, "has a curve with exponent %v; 1 to 20 is needed, so check that the points bend down", pump.B)
	}
}

func (c *checker) supply(spec supplySpec) {
	if c.known(spec.name, "feeds", spec.at) && c.network.nodes[spec.at-1].kind == reservoir {
		c.fault(spec.name, "feeds %q, a reservoir, whose head is given; feed a junction",
			c.network.nodes[spec.at-1].name)
	}
	c.finite(spec.name, "static head", spec.inflow.Static)
	c.finite(spec.name, "residual head", spec.inflow.Residual)
	c.between(spec.name, "flow at the residual head", spec.inflow.Flow, 0, true)
	if !(spec.inflow.Residual < spec.inflow.Static) {
		c.fault(spec.name, "has residual head %v m, static head %v m; the residual must be lower", spec.inflow.Residual,
			spec.inflow.Static)
	}
}

func (c *checker) outlet(spec outletSpec) {
	known := c.known(spec.name, "is at", spec.at)
	if known && c.network.nodes[spec.at-1].kind == reservoir {
		c.fault(spec.name, "is at %q, a reservoir, whose head nothing changes; put it at a junction",
			c.network.nodes[spec.at-1].name)
	}
	var into Node
	switch spec.kind {
	case emitting:
		into = spec.emitter.Into
		c.between(spec.name, "coefficient", spec.emitter.Coefficient, 0, false)
		c.between(spec.name, "count", float64(spec.emitter.Count), 0, false)
		c.finite(spec.name, "height", spec.emitter.Height)
		c.between(spec.name, "pressure at which it begins to compensate", spec.emitter.Compensates, 0, false)
		if x := spec.emitter.Exponent; !(x >= 0.04 && x <= 5) {
			c.fault(spec.name, "has exponent %v; 0.04 to 5 is needed", x)
		}
	case spilling:
		into = spec.standpipe.Into
		c.finite(spec.name, "crest", spec.standpipe.Crest)
		c.between(spec.name, "bore", spec.standpipe.Bore, 0, true)
		c.between(spec.name, "weir coefficient", spec.standpipe.Weir, 0, false)
		c.between(spec.name, "orifice coefficient", spec.standpipe.Orifice, 0, false)
	case weir:
		into = spec.weir.Into
		c.finite(spec.name, "crest", spec.weir.Crest)
		c.between(spec.name, "length", spec.weir.Length, 0, true)
		c.between(spec.name, "discharge coefficient", spec.weir.Discharge, 0, false)
	case rated:
		into = spec.overflow.Into
		c.finite(spec.name, "crest", spec.overflow.Crest)
		if spec.overflow.Rating == nil {
			c.fault(spec.name, "is an overflow without a rating curve; give one")
		}
	}
	if known && spec.kind != emitting && !c.isTank(spec.at) {
		c.fault(spec.name, "is an overflow at %q, which is no tank", c.network.nodes[spec.at-1].name)
	}
	if into != 0 && c.known(spec.name, "runs into", into) && (!c.isTank(into) || into == spec.at) {
		c.fault(spec.name, "runs into %q; another tank is needed", c.network.nodes[into-1].name)
	}
}
