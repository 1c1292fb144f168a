package water

import "math"

// Readings are those of the last Solve that returned no error.

// Head returns the head at a node in m; of an isolated node its elevation.
func (s *Solver) Head(node Node) float64 {
	row := s.rowOf[node-1]
	if s.lost[row] {
		return s.elevation[row]
	}
	return s.head[row]
}

// Standing returns the head at a node in m; of an isolated node that of the water
// which is left in its pipes, up to their lowest opening, and its elevation where
// they have drained.
func (s *Solver) Standing(node Node) float64 {
	row := s.rowOf[node-1]
	if s.lost[row] {
		return math.Max(s.elevation[row], s.head[row])
	}
	return s.head[row]
}

// Height returns the pressure at a node as m of water above it; of a tank this
// is its level, of an isolated node 0.
func (s *Solver) Height(node Node) float64 {
	row := s.rowOf[node-1]
	return s.Head(node) - s.elevation[row]
}

// Pressure returns the pressure at a node in Pa above the atmosphere.
func (s *Solver) Pressure(node Node) float64 {
	return float64(s.Height(node) * float64(s.constants.Density*s.constants.Gravity))
}

// Isolated says that no water reaches a node: there is no open way to it from
// a reservoir, tank or supply.
func (s *Solver) Isolated(node Node) bool { return s.lost[s.rowOf[node-1]] }

// ShutIn says that a node is isolated and that no opening is joined with it
// either: what water is there stays there.
func (s *Solver) ShutIn(node Node) bool {
	row := s.rowOf[node-1]
	return s.lost[row] && s.shutIn[row]
}

// Flow returns the flow through a link in m3/s, positive from its first node
// to its second.
func (s *Solver) Flow(link Link) float64 { return s.parts[link-1].reading() }

// State returns what a link does.
func (s *Solver) State(link Link) State { return s.parts[link-1].state }

// Outflow returns what leaves by an outlet in m3/s, all its openings together.
func (s *Solver) Outflow(outlet Outlet) float64 { return s.outletPart(outlet).reading() }

// Before returns the pressure in Pa of the water before the openings of an
// outlet, at their height; 0 where no water reaches it.
func (s *Solver) Before(outlet Outlet) float64 {
	p := s.outletPart(outlet)
	if s.lost[p.from] {
		return 0
	}
	return float64((s.head[p.from] - s.head[p.to]) * float64(s.constants.Density*s.constants.Gravity))
}

// OutletState returns what an outlet does.
func (s *Solver) OutletState(outlet Outlet) State { return s.outletPart(outlet).state }

// Inflow returns what a supply gives in m3/s.
func (s *Solver) Inflow(supply Supply) float64 { return s.supply(supply).reading() }

// reading is the flow without the traces of rounding at parts that bar it.
func (p *part) reading() float64 {
	if p.flow < 0 && !p.backward {
		return 0
	}
	return p.flow
}

// NetInflow returns what runs into a tank or reservoir less what leaves it, in
// m3/s, overflows and draws included.
func (s *Solver) NetInflow(node Node) float64 { return -s.outflow(s.rowOf[node-1], -1) }

// Volume returns the volume in a tank in m3.
func (s *Solver) Volume(tank Node) float64 {
	return s.tank(tank).vessel.Volume(s.Height(tank))
}

// Iterations returns how many steps of Newton's method the last solve took.
func (s *Solver) Iterations() int { return s.iterations }
