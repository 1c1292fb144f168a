package site

import (
	"math"

	"ullage/fakes/electric"
	"ullage/fakes/water"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// flow declares a flow that is read after every solve.
func (s *Site) flow(device, name string, read func() float64) *curve {
	c := newCurve(s.record, device, name, quantity.Flow)
	c.reach, c.tolerance = leastFlow, flowTolerance
	c.read = func() float64 {
		if q := read(); math.Abs(q) > stray {
			return q
		}
		return 0
	}
	s.curves = append(s.curves, &c)
	s.names = append(s.names, device+"."+name)
	return &c
}

// leastPressure is what a pressure is taken to reach at least.
const leastPressure = 3e5 // Pa

// stray is a flow that is only what the solver's rounding leaves.
const stray = 1e-13 // m³/s

// pressure declares the pressure at the outlet of a part.
func (s *Site) pressure(device string, node water.Node) {
	c := newCurve(s.record, device, "pressure", quantity.Pressure)
	c.read, c.reach = func() float64 { return s.solver.Pressure(node) }, leastPressure
	c.tolerance = pressureTolerance
	s.curves = append(s.curves, &c)
	s.names = append(s.names, device+".pressure")
}

// volume declares the running total of a flow.
func (s *Site) volume(device, name string, flow *curve, lost bool) *total {
	t := &total{flow: flow, lost: lost, curve: newCurve(s.record, device, name, quantity.Volume)}
	s.totals = append(s.totals, t)
	return t
}

func (s *Site) held(device, name string) signal.ID {
	return s.record.Declare(signal.Signal{Device: device, Quantity: name, Dim: quantity.State, Shape: signal.Held})
}

// supply is a mains connection.
type supply struct {
	spec   sitefile.Supply
	factor float64 // knob
}

func (s *Site) openSupplies(panel *fault.Panel) {
	for _, spec := range s.spec.Supplies {
		x := &supply{spec: spec, factor: 1}
		s.supplies = append(s.supplies, x)
		number := s.plan.supplies[spec.Name]
		s.flow(spec.Name, "flow", func() float64 { return s.solver.Inflow(number) })
		s.pressure(spec.Name, s.plan.nodes[spec.Name])
		panel.Offer(fault.Knob{Device: spec.Name, Kind: "supply", Name: "pressure factor", Max: 1.5, Rest: 1, Join: fault.Multiply,
			Set: s.later(func(v float64) {
				x.factor, s.jump = v, true
				s.solver.SetStatic(number, head(spec.Static.SI)*v+spec.Height.SI)
			})})
	}
}

func (s *Site) openValves(panel *fault.Panel) {
	for _, spec := range s.spec.Valves {
		link := s.plan.links[spec.Name]
		d := &drive{spec: spec, link: link, capacity: characteristic(spec.Characteristic), heldShut: 1, arrives: signal.Never,
			coil:   electric.Coil{PullIn: spec.PullIn.SI, DropOut: spec.DropOut.SI, Ohms: spec.Coil.SI},
			coilID: s.held(spec.Name, "coil"), openID: s.held(spec.Name, "open"),
			curve: newCurve(s.record, spec.Name, "disc", quantity.Fraction)}
		s.drives = append(s.drives, d)
		s.flow(spec.Name, "flow", func() float64 { return s.solver.Flow(link) })
		s.pressure(spec.Name, s.plan.nodes[spec.From])
		s.put(0, d.coilID, 0)
		s.put(0, d.openID, 0)
		d.curve.to(0, 0)
		turn := func(knob *float64) func(signal.Time, float64) error {
			return s.later(func(v float64) {
				*knob = v
				s.aim(d, s.now)
			})
		}
		panel.Offer(fault.Knob{Device: spec.Name, Kind: "valve", Name: "held open", Dim: quantity.Fraction, Max: 1, Join: fault.Largest, Set: turn(&d.heldOpen)})
		panel.Offer(fault.Knob{Device: spec.Name, Kind: "valve", Name: "held shut", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Smallest, Set: turn(&d.heldShut)})
	}
}

// aim lets a disc go where coil and knobs send it.
func (s *Site) aim(d *drive, at signal.Time) {
	if d.aim(at) {
		d.curve.to(at, d.disc)
		s.turn = true
		s.jump = s.jump || d.disc == 0
		s.put(at, d.openID, state(d.disc > 0 || d.target > 0))
	}
}

// openPipes declares the pressure behind everything that loses some.
func (s *Site) openPipes() {
	for _, x := range s.spec.Pipes {
		s.pressure(x.Name, s.plan.nodes[x.Name])
	}
	for _, x := range s.spec.Filters {
		s.pressure(x.Name, s.plan.nodes[x.Name])
	}
	for _, x := range s.spec.Regulators {
		s.pressure(x.Name, s.plan.nodes[x.Name])
	}
}

func (s *Site) openOutlets() {
	declare := func(name string, node water.Node) {
		outlets := s.plan.outlets[name]
		s.flow(name, "flow", func() float64 {
			sum := 0.0
			for _, o := range outlets {
				sum += s.solver.Outflow(o)
			}
			return sum
		})
		s.pressure(name, node)
	}
	for _, x := range s.spec.Outlets {
		declare(x.Name, s.plan.nodes[x.From])
	}
	for _, x := range s.spec.Laterals {
		declare(x.Name, s.plan.nodes[x.Name])
	}
}

// pump is a pump behind its contactor.
type pump struct {
	spec      sitefile.Pump
	link      water.Link
	from      *tank // that it draws from; nil when it draws from a pipe
	contactor electric.Coil
	dry       bool // it draws air

	coilID, runningID, dryID signal.ID
}

func (s *Site) openPumps() {
	for _, spec := range s.spec.Pumps {
		link := s.plan.links[spec.Name]
		p := &pump{spec: spec, link: link, contactor: electric.Coil{PullIn: spec.PullIn.SI, DropOut: spec.DropOut.SI, Ohms: spec.Coil.SI},
			coilID: s.held(spec.Name, "coil"), runningID: s.held(spec.Name, "running"), dryID: s.held(spec.Name, "dry")}
		s.pumps = append(s.pumps, p)
		s.flow(spec.Name, "flow", func() float64 { return s.solver.Flow(link) })
		s.pressure(spec.Name, s.plan.nodes[spec.Name])
		for _, id := range []signal.ID{p.coilID, p.runningID, p.dryID} {
			s.put(0, id, 0)
		}
	}
}

// choose sets a pump as its contactor and the water before it want, and tells whether that changes.
func (p *pump) choose(s *Site, at signal.Time) bool {
	dry := false
	if p.from != nil {
		level, limit := p.from.volume/p.from.area, p.spec.DryBelow.SI
		if p.dry {
			limit += primes
		}
		dry = level <= limit && !(p.dry && level >= limit)
	}
	changed := dry != p.dry
	p.dry = dry
	speed, suction := 0.0, float64(suctionKv)
	if p.contactor.Energised {
		speed = 1
	}
	if dry {
		speed, suction = 0, 0
	}
	s.solver.SetSpeed(p.link, speed)
	s.solver.SetKv(s.plan.suction[p.spec.Name], suction)
	s.put(at, p.coilID, state(p.contactor.Energised))
	s.put(at, p.runningID, state(p.contactor.Energised))
	s.put(at, p.dryID, state(p.contactor.Energised && dry))
	return changed
}

func (s *Site) openTanks(panel *fault.Panel) {
	for _, spec := range s.spec.Tanks {
		area, _ := tankPlan(spec)
		t := &tank{spec: spec, node: s.plan.nodes[spec.Name], area: area, volume: spec.Starts.SI * area,
			level: newCurve(s.record, spec.Name, "level", quantity.Length), levels: []float64{0, spec.Rim.SI}}
		s.tanks = append(s.tanks, t)
		t.empty = t.volume <= 0
		rim := s.plan.rims[spec.Name]
		s.volume(spec.Name, "spilled", s.flow(spec.Name, "spill", func() float64 { return s.solver.Outflow(rim) }), true)
		s.flow(spec.Name, "draw", func() float64 { return t.taken(s.solver.NetInflow(t.node)) })
		s.flow(spec.Name, "rain", func() float64 { return t.inflow })
		turn := func(knob *float64) func(signal.Time, float64) error {
			return s.later(func(v float64) { *knob, s.jump = v, true })
		}
		panel.Offer(fault.Knob{Device: spec.Name, Kind: "tank", Name: "draw", Dim: quantity.Flow, Max: 0.1, Join: fault.Add, Set: turn(&t.draw)})
		panel.Offer(fault.Knob{Device: spec.Name, Kind: "tank", Name: "inflow", Dim: quantity.Flow, Max: 0.1, Join: fault.Add, Set: turn(&t.inflow)})
		if pipe, ok := s.plan.pipes[spec.Name]; ok {
			t.levels = append(t.levels, spec.Standpipe.Crest.SI)
			s.volume(spec.Name, "overflowed", s.flow(spec.Name, "overflow", func() float64 { return s.solver.Outflow(pipe) }), true)
			panel.Offer(fault.Knob{Device: spec.Name, Kind: "tank", Name: "standpipe", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Multiply,
				Set: s.later(func(v float64) {
					s.solver.SetOpen(pipe, v)
					s.jump = true
				})})
		}
		for _, p := range s.pumps {
			if p.spec.From == spec.Name {
				p.from = t
				t.levels = append(t.levels, p.spec.DryBelow.SI, p.spec.DryBelow.SI+primes)
			}
		}
	}
}

// drive connects an output of the controller to what hangs on it.
func (s *Site) drive(at signal.Time, pin harness.Pin) {
	name := s.terminals[pin.Terminal].Name
	for _, d := range s.drives {
		if d.spec.Name == name && d.coil.Drive(pin) {
			s.put(at, d.coilID, state(d.coil.Energised))
			s.aim(d, at)
		}
	}
	for _, p := range s.pumps {
		if p.spec.Name == name && p.contactor.Drive(pin) {
			s.jump = true
		}
	}
}

func (s *Site) openMeters() {
	for _, spec := range s.spec.Meters {
		link := s.plan.links[spec.Name]
		m := &meter{spec: spec, terminal: s.terminal(spec.Name), closedID: s.held(spec.Name, "closed")}
		m.total = s.volume(spec.Name, "volume", s.flow(spec.Name, "flow", func() float64 { return s.solver.Flow(link) }), false)
		s.meters = append(s.meters, m)
		s.put(0, m.closedID, 0)
	}
}

// meter closes its contact for the second half of every pulse volume.
type meter struct {
	spec     sitefile.Meter
	terminal int
	total    *total
	halves   int64 // half pulse volumes that have passed
	edge     signal.Time
	closedID signal.ID
}

// aim finds the next edge within the present step.
func (m *meter) aim(s *Site, from signal.Time) {
	m.edge = signal.Never
	want := float64(m.halves+1) * m.spec.PerPulse.SI / 2
	if m.total.at(1, s.dt) < want {
		return
	}
	past := func(t signal.Time) bool { return m.total.at(s.share(t), s.dt) >= want }
	if past(from) {
		m.edge = from
		return
	}
	m.edge = firstPast(from, s.t1, past)
}

// pass makes the edges that are due.
func (m *meter) pass(s *Site, at signal.Time) {
	for m.edge <= at {
		m.halves++
		closed := m.halves%2 == 1
		s.put(m.edge, m.closedID, state(closed))
		if m.terminal >= 0 {
			s.pins = append(s.pins, contactPin(m.edge, m.terminal, closed, 1))
		}
		m.aim(s, m.edge)
	}
}

// contactPin is a contact to ground.
func contactPin(at signal.Time, terminal int, closed bool, ohms float64) harness.Pin {
	if !closed || ohms > 1e9 {
		return harness.Open(at, terminal)
	}
	return harness.Pin{At: at, Terminal: terminal, Ohms: ohms}
}

// terminal is the number of the input that a device is wired to, -1 when it is not wired.
func (s *Site) terminal(device string) int {
	for i, t := range s.terminals {
		if t.Name == device && t.Kind != harness.OutputTerminal {
			return i
		}
	}
	return -1
}
