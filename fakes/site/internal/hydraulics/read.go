package hydraulics

import (
	"math"

	"ullage/fakes/site/internal/device"
	"ullage/fakes/water"
	"ullage/harness/signal"
)

const (
	trace         = 1e-6  // Pa, a pressure that is only what the solver's rounding leaves
	seep          = 1e-10 // m³/s, with which next to nothing passes: a drop in some minutes
	leastPressure = 3e5   // Pa, which a pressure is taken to reach at least

	// of a flow: how far its middle may be from a step's straight line, as a share of what it has reached
	flowTolerance     = 3e-3
	pressureTolerance = 6e-3 // of a pressure, likewise
)

// passable is the share of an opening that is open; less than a part in 1e12 is shut, as no network can be solved with
// it.
func passable(share float64) float64 {
	if share < 1e-12 {
		return 0
	}
	return share
}

// Flow declares a flow that is read after every solve.
func (s *network) Flow(sig signal.Signal, read func() float64) *device.Line {
	l := s.flowLine(sig, read)
	s.lines = append(s.lines, l)
	if sig.Quantity == "flow" {
		s.flows[sig.Device] = l
	}
	return l
}

// flowLine declares a flow that is not read yet.
func (s *network) flowLine(sig signal.Signal, read func() float64) *device.Line {
	l := s.Line(sig)
	l.Reach, l.Tolerance, l.Read = leastFlow, flowTolerance, read
	return &l
}

// FlowOf is the flow through or out of a device; nil where none is recorded.
func (s *network) FlowOf(device string) *device.Line { return s.flows[device] }

// Through reads the flow through a link.
func (s *network) Through(link water.Link) func() float64 {
	return func() float64 { return withoutRounding(s.solver.Flow(link)) }
}

// out reads the flow that leaves by outlets.
func (s *network) out(outlets ...water.Outlet) func() float64 {
	return func() float64 {
		sum := 0.0
		for _, o := range outlets {
			sum += s.solver.Outflow(o)
		}
		return withoutRounding(sum)
	}
}

// pressure declares the pressure at a node of a part through which a flow passes. Where none does, nothing holds the
// water up against the air that comes in by the outlets: the pressure is then never below that of the air. A supply,
// which may draw, has no such flow. No pressure is below that of vapour.
func (s *network) pressure(sig signal.Signal, node water.Node, passes func() float64) *device.Line {
	return s.pressureLine(sig, func() float64 {
		p := max(s.solver.Pressure(node), s.lowest)
		if p < 0 && passes != nil && math.Abs(passes()) < seep {
			return 0
		}
		return p
	})
}

// pressureLine declares a pressure that is read after every solve.
func (s *network) pressureLine(sig signal.Signal, read func() float64) *device.Line {
	l := s.Line(sig)
	l.Reach, l.Tolerance = leastPressure, pressureTolerance
	l.Read = func() float64 {
		if p := read(); math.Abs(p) >= trace {
			return p
		}
		return 0
	}
	s.lines = append(s.lines, &l)
	return &l
}

// Volume declares the running total of a flow.
func (s *network) Volume(sig signal.Signal, flow *device.Line) *device.Total {
	t := s.Total(sig, flow)
	s.totals = append(s.totals, t)
	return t
}

// lostVolume declares the running total of a flow that does no good any more.
func (s *network) lostVolume(sig signal.Signal, flow *device.Line) {
	s.losses.totals = append(s.losses.totals, s.Volume(sig, flow))
}
