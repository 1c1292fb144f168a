package site

import (
	"ullage/fakes/electric"
	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// pump is a pump behind its contactor. Once it has drawn air it gives no water until it is primed again.
type pump struct {
	spec          sitefile.Pump
	link, suction water.Link
	from          *tank       // that it draws from; nil when it draws from a mains
	mains         *mains      // that it draws from; nil when it draws from a tank
	bare, covered float64     // m³ in that tank at which it draws air, and at which its suction is covered again
	floods        float64     // m³ in that tank at which it is flooded
	consumer                  // the coil of its contactor
	cushion       *tank       // its pressure vessel; nil when it has no pressure switch
	starts, stops float64     // m³ in the vessel at which the switch closes and opens
	closed        bool        // the switch
	dry           bool        // it has air before it
	air           float64     // knob: 1 while its suction draws air from elsewhere
	unprimed      bool        // it has air in it
	wear          wear        // of pump, motor and contactor
	primes        signal.Time // when it will have filled, if all stays as it is

	coilID, runningID, dryID, primedID signal.ID
}

// primes is how far above its dry level a pump has water before it again, m (common practice, no source).
const primes = sitefile.DefaultFloods

func (s *Site) openPumps(panel *fault.Panel) {
	for _, spec := range s.spec.Pumps {
		p := &pump{spec: spec, link: s.plan.Links[spec.Name], suction: s.plan.Suctions[spec.Name], primes: signal.Never,
			consumer: consumer{coil: electric.Coil{PullIn: spec.PullIn.SI, DropOut: spec.DropOut.SI}, ohms: spec.Coil.SI, fed: true},
			coilID:   s.held(spec.Name, "coil"), runningID: s.held(spec.Name, "running"), dryID: s.held(spec.Name, "dry"),
			primedID: s.held(spec.Name, "primed")}
		p.closed = true
		for _, m := range s.mains {
			if m.spec.Name == s.plan.Source(spec.From) {
				p.mains = m
			}
		}
		s.pumps = append(s.pumps, p)
		flow := s.through(p.link)
		s.flow(spec.Name, "flow", flow)
		s.pressure(spec.Name, s.plan.Nodes[spec.Name], flow)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "pump", Name: "air", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.air, s.jumps)
		s.offerWear(p, panel)
		p.feel = func(_ signal.Time, volts float64) bool {
			s.jump = p.coil.Feel(volts*p.across()) || s.jump
			return false
		}
		s.consumes(spec.Name, &p.consumer, false)
		s.onOutput(spec.Name, func(at signal.Time, pin harness.Pin) {
			s.kick(at, &p.consumer, pin)
			s.supplied.dirty = p.switched(pin) || s.supplied.dirty
		})
	}
}

// draws has the pump draw from a tank.
func (p *pump) draws(t *tank) {
	dry := p.spec.DryBelow.SI
	p.from, p.bare, p.covered = t, t.vessel.Volume(dry), t.vessel.Volume(dry+primes)
	p.floods = max(p.covered, t.vessel.Volume(p.spec.FloodsAbove.SI))
	t.marks = append(t.marks, p.bare, p.covered, p.floods)
}

// look tells whether the water before the pump, or in it, has gone or come back.
func (p *pump) look(at signal.Time) (changed bool) {
	wasClosed, wasDry, wasUnprimed := p.closed, p.dry, p.unprimed
	p.wear.pulls(p.coil.Energised)
	if t := p.cushion; t != nil {
		p.closed = t.volume <= p.starts || p.closed && t.volume < p.stops
	}
	p.dry = p.air > 0 || p.mains != nil && p.mains.drained(at) || p.from != nil && (p.from.volume <= p.bare || p.dry && p.from.volume < p.covered)
	p.unprimed = p.unprimed || p.dry
	switch {
	case p.dry || !p.filling():
		p.primes = signal.Never
	case p.unprimed && p.primes == signal.Never:
		p.primes = at + signal.FromSeconds(p.spec.PrimesIn.SI)
	}
	if p.primes <= at {
		p.unprimed, p.primes = false, signal.Never
	}
	return p.closed != wasClosed || p.dry != wasDry || p.unprimed != wasUnprimed
}

// running tells whether its motor runs.
func (p *pump) running() bool { return p.wear.in && p.wear.seized == 0 && p.closed }

// openCushions adds the pressure vessels of pumps with a pressure switch. A run begins at the cut-in pressure.
func (s *Site) openCushions() {
	for _, p := range s.pumps {
		set := p.spec.PressureSwitch
		if set.CutOut.SI == 0 {
			continue
		}
		vessel := pipework.Cushion(set)
		t := &tank{node: s.plan.Nodes[p.spec.Name], vessel: vessel, cushion: true, area: 1, covers: vessel.Volume(covers), changes: signal.Never,
			tolerance: cushionTolerance * vessel.Size, bend: cushionTolerance * vessel.Size,
			level: newCurve(s.record, p.spec.Name, "stored", quantity.Volume)}
		p.cushion, p.starts, p.stops = t, vessel.Volume(pipework.Head(set.CutIn.SI)), vessel.Volume(pipework.Head(set.CutOut.SI))
		t.holds(p.starts)
		t.marks = []float64{0, t.covers, p.starts, p.stops}
		t.mark(water.Kinks(vessel)...)
		s.tanks = append(s.tanks, t)
	}
}

// filling tells whether water is replacing the air in the pump: a self-priming one draws it up while it runs, into any
// other it runs by itself where the suction is flooded.
func (p *pump) filling() bool {
	if p.spec.Priming == sitefile.SelfPriming {
		return p.running()
	}
	return p.from == nil || p.from.volume >= p.floods
}

// run sets the pump as its contactor and the water want. A pump with air in it passes none, and neither does its suction
// when it stands.
func (p *pump) run(s *Site, at signal.Time) {
	speed, suction := 0.0, float64(pipework.SuctionKv)
	if p.running() {
		speed = p.wear.speed()
	}
	if p.unprimed {
		speed, suction = 0, 0
	}
	s.solver.SetSpeed(p.link, speed)
	s.solver.SetKv(p.suction, suction)
	s.put(at, p.coilID, state(p.coil.Energised))
	s.put(at, p.runningID, state(p.running()))
	s.put(at, p.dryID, state(p.running() && p.unprimed))
	s.put(at, p.primedID, state(!p.unprimed))
}
