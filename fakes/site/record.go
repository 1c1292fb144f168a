package site

import (
	"math"

	"ullage/fakes/water"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

const (
	leastFlow     = 2e-5  // m³/s, to which a flow is taken to reach at least
	leastPressure = 3e5   // Pa, likewise
	stray         = 1e-13 // m³/s, a flow that is only what the solver's rounding leaves
)

// clean is a flow of the network without what only rounding leaves.
func clean(flow float64) float64 {
	if math.Abs(flow) > stray {
		return flow
	}
	return 0
}

// flow declares a flow that is read after every solve.
func (s *Site) flow(device, name string, read func() float64) *curve {
	c := newCurve(s.record, device, name, quantity.Flow)
	c.reach, c.tolerance, c.read = leastFlow, flowTolerance, read
	s.curves = append(s.curves, &c)
	if name == "flow" {
		s.flows[device] = &c
	}
	return &c
}

// through reads the flow through a link.
func (s *Site) through(link water.Link) func() float64 {
	return func() float64 { return clean(s.solver.Flow(link)) }
}

// from reads the flow that leaves by outlets.
func (s *Site) from(outlets ...water.Outlet) func() float64 {
	return func() float64 {
		sum := 0.0
		for _, o := range outlets {
			sum += s.solver.Outflow(o)
		}
		return clean(sum)
	}
}

// pressure declares the pressure at a node of a part through which a flow passes. Where none does, nothing holds the water
// up against the air that comes in by the outlets: the pressure is then never below that of the air. A supply, which may
// draw, has no such flow.
func (s *Site) pressure(device string, node water.Node, passes func() float64) *curve {
	c := newCurve(s.record, device, "pressure", quantity.Pressure)
	c.reach = leastPressure
	c.read = func() float64 {
		p := s.solver.Pressure(node)
		if p < 0 && passes != nil && passes() == 0 {
			return 0
		}
		return p
	}
	c.tolerance = pressureTolerance
	s.curves = append(s.curves, &c)
	return &c
}

// volume declares the running total of a flow.
func (s *Site) volume(device, name string, flow *curve, lost bool) *total {
	t := &total{flow: flow, lost: lost, curve: newCurve(s.record, device, name, quantity.Volume)}
	t.curve.to(0, 0)
	s.totals = append(s.totals, t)
	return t
}

func (s *Site) held(device, name string) signal.ID {
	return s.record.Declare(signal.Signal{Device: device, Quantity: name, Dim: quantity.State, Shape: signal.Held})
}

func (s *Site) put(at signal.Time, id signal.ID, value float64) {
	s.record.Put(signal.Change{At: at, ID: id, Value: value})
}

// state is what a held signal of on and off is recorded as.
func state(on bool) float64 {
	if on {
		return 1
	}
	return 0
}

// share is how far a moment is into the present step, 0 to 1.
func (s *Site) share(at signal.Time) float64 {
	if at >= s.t1 {
		return 1
	}
	return (at - s.t0).Seconds() / s.dt
}

// cut ends the present step at a moment: what it has done until then is recorded and becomes the state.
func (s *Site) cut(at signal.Time) {
	if at == s.t0 {
		return
	}
	share := s.share(at)
	for _, t := range s.tanks {
		t.holds(t.volumeAt(share, s.dt))
		t.level.to(at, t.shown())
		t.start += float64((t.end - t.start) * share)
		t.end = t.start
	}
	for _, b := range s.beds {
		b.count(s, at)
	}
	s.recordLost(at)
	for _, x := range s.totals {
		x.sum = x.at(share, s.dt)
		x.curve.to(at, x.sum)
	}
	for _, c := range s.curves {
		value := c.at(share)
		c.to(at, value)
		c.start, c.end = value, value
	}
	for _, f := range s.filters {
		f.curve.to(at, f.loading(0)) // its total has come to the moment already
	}
	for _, d := range s.drives {
		if d.moving() {
			d.curve.to(at, d.at(at))
			s.jump = d.rest(at) || s.jump
			if d.hammer != nil && !d.moving() {
				d.hammer.due = d.hammer.closing
			}
			s.put(at, d.openID, state(d.open()))
		}
	}
	s.t0, s.t1, s.dt = at, at, 0
}

// recordLost writes what has been lost until now: over tanks, off beds and below their roots.
func (s *Site) recordLost(at signal.Time) {
	lost, share := 0.0, s.share(at)
	for _, x := range s.totals {
		if x.lost {
			lost += x.at(share, s.dt)
		}
	}
	for _, b := range s.beds {
		lost += (b.now.Drained + b.now.RunOff) * b.spec.Area.SI
	}
	s.lost.to(at, lost)
}

// anchor marks the beginning of every line that does not run level in the step.
func (s *Site) anchor() {
	for _, c := range s.curves {
		if c.start != c.end {
			c.anchor()
		}
	}
	for _, t := range s.tanks {
		if t.start != 0 || t.end != 0 {
			t.level.anchor()
		}
	}
	for _, x := range s.totals {
		if x.flow.start != 0 || x.flow.end != 0 {
			x.curve.anchor()
		}
	}
	for _, f := range s.filters {
		if f.loads() {
			f.curve.anchor()
		}
	}
	for _, d := range s.drives {
		if d.moving() {
			d.curve.anchor()
		}
	}
	if s.losing() {
		s.lost.anchor()
	}
}

// losing tells whether water is being lost in the present step.
func (s *Site) losing() bool {
	for _, x := range s.totals {
		if x.lost && (x.flow.start != 0 || x.flow.end != 0) {
			return true
		}
	}
	for _, b := range s.beds {
		if b.losing {
			return true
		}
	}
	return false
}
