package hydraulics

import (
	"math"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Pump is a pump behind its contactor. Once it has drawn air it gives no water until it is primed again.
type Pump struct {
	step          *Step
	spec          sitefile.Pump
	link, suction water.Link
	supply        *supply // that it draws from; nil when it draws from a tank
	from          *store  // the tank that it draws from; nil when it draws from a supply
	bare, covered float64 // m³ in that tank at which it draws air, and at which its suction is covered again
	floods        float64 // m³ in that tank at which it is flooded

	vessel        *store  // its pressure vessel; nil when it has no pressure switch
	starts, stops float64 // m³ in the vessel at which the switch closes and opens
	closed        bool    // the switch

	energised bool        // the coil of its contactor
	in        bool        // the contactor
	dry       bool        // it has air before it
	unprimed  bool        // it has air in it
	turned    bool        // it lifted water in the last step
	starved   bool        // no water comes up to it: it draws from too deep
	primes    signal.Time // when it will have filled, if all stays as it is

	air    float64 // knob: 1 while its suction draws air from elsewhere
	head   float64 // knob: share of its head that it still gives, and of the square of its flow
	seized float64 // knob: its motor does not start: above 0
	welded float64 // knob: its contactor does not come out once it is in: above 0

	coilID, runningID, dryID, primedID signal.ID
}

const (
	// primes is how far above its dry level a pump has water before it again, m (common practice, no source).
	primes = sitefile.DefaultFloods
	// vesselTolerance is the error of the water in a pressure vessel over one step and between two points of the trace,
	// as a share of its size.
	vesselTolerance = 1e-4
)

// openPump declares a pump and offers its knobs.
func openPump(s *Step, spec sitefile.Pump, supply *supply) *Pump {
	name := signal.Pump(spec.Name)
	p := &Pump{step: s, spec: spec, link: s.plan.Links[spec.Name], suction: s.plan.Suctions[spec.Name], supply: supply,
		closed: true, primes: signal.Never, coilID: s.Declare(name.Coil()), runningID: s.Declare(name.Running()),
		dryID: s.Declare(name.Dry()), primedID: s.Declare(name.Primed())}
	flow := s.Through(p.link)
	s.Flow(name.Flow(), flow)
	s.pressure(name.Pressure(), s.plan.Nodes[spec.Name], flow)
	offer := s.Knobs(spec.Name, "pump", s.jumps)
	offer(fault.Knob{Name: "air", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.air)
	offer(fault.Knob{Name: "head", Dim: quantity.Fraction, Min: 0.01, Max: 1, Rest: 1, Join: fault.Multiply}, &p.head)
	offer(fault.Knob{Name: "seized", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.seized)
	offer(fault.Knob{Name: "welded", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.welded)
	s.Add(p)
	return p
}

// drawsFrom has the pump draw from a tank.
func (p *Pump) drawsFrom(t *store) {
	dry := p.spec.DryBelow.SI
	p.from, p.bare, p.covered = t, t.vessel.Volume(dry), t.vessel.Volume(dry+primes)
	p.floods = max(p.covered, t.vessel.Volume(p.spec.FloodsAbove.SI))
	t.marks = append(t.marks, p.bare, p.covered, p.floods)
}

// openVessel adds the pressure vessel of a pump with a pressure switch. A run begins at the cut-in pressure.
func (p *Pump) openVessel() {
	set := p.spec.PressureSwitch
	if set.CutOut.SI == 0 {
		return
	}
	vessel := pipework.Cushion(set)
	t := newStore(p.step.plan.Nodes[p.spec.Name], vessel)
	t.cushion, t.area = true, 1
	t.tolerance, t.bend = vesselTolerance*vessel.Size, vesselTolerance*vessel.Size
	t.level = p.step.Line(signal.Pump(p.spec.Name).Stored())
	p.starts, p.stops = vessel.Volume(pipework.Head(set.CutIn.SI)), vessel.Volume(pipework.Head(set.CutOut.SI))
	t.holds(p.starts)
	t.marks = append(t.marks, p.starts, p.stops)
	t.mark(water.Kinks(vessel)...)
	p.vessel = &t
	p.step.stores = append(p.step.stores, p.vessel)
	p.step.Add(p.vessel)
}

// Energise puts the coil of the contactor on or off.
func (p *Pump) Energise(on bool) {
	p.energised = on
	p.step.jump = true
}

// change works out whether the water before the pump, or in it, has gone or come back, and sets the pump as contactor
// and water want.
func (p *Pump) change(at signal.Time) (jump bool) {
	wasClosed, wasDry, wasUnprimed := p.closed, p.dry, p.unprimed
	p.in = p.energised || p.welded > 0 && p.in
	if t := p.vessel; t != nil {
		p.closed = t.volume <= p.starts || p.closed && t.volume < p.stops
	}
	p.dry = p.air > 0 || p.supply != nil && p.supply.drained(at) || p.from != nil && (p.from.volume <= p.bare ||
		p.dry && p.from.volume < p.covered)
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
	switch {
	case p.turned && !p.running():
		p.step.pumpStops(p, at)
	case !p.turned && p.running():
		p.step.calm = true // it runs up as gently as the water before it moves
	}
	p.run(at)
	return p.closed != wasClosed || p.dry != wasDry || p.unprimed != wasUnprimed
}

func (p *Pump) ends() signal.Time { return p.primes }

// running reports whether its motor runs.
func (p *Pump) running() bool { return p.in && p.seized == 0 && p.closed }

// filling reports whether water is replacing the air in the pump: a self-priming one draws it up while it runs, into
// any other it runs by itself where the suction is flooded.
func (p *Pump) filling() bool {
	if p.spec.Priming == sitefile.SelfPriming {
		return p.running()
	}
	return p.from == nil || p.from.volume >= p.floods
}

// run sets the pump. With air in it, it passes no water, and neither does its suction when it stands. A worn pump runs
// as a new one with the same curve does at a lower speed: head goes with its square, flow with itself (the affinity
// laws).
func (p *Pump) run(at signal.Time) {
	speed, suction := 0.0, float64(pipework.SuctionKv)
	if p.running() {
		speed = math.Sqrt(p.head)
	}
	if p.unprimed {
		speed, suction = 0, 0
	}
	s := p.step
	p.turned = speed > 0
	s.solver.SetSpeed(p.link, speed)
	s.solver.SetKv(p.suction, suction)
	s.PutState(at, p.coilID, p.energised)
	s.PutState(at, p.runningID, p.running())
	s.PutState(at, p.dryID, p.dryRunning())
	s.PutState(at, p.primedID, !p.unprimed)
}

// dryRunning reports whether it runs without water.
func (p *Pump) dryRunning() bool { return p.running() && (p.unprimed || p.starved) }

// settled sees whether water comes up to it.
func (p *Pump) settled(at signal.Time) (moving bool) {
	if c, is := p.step.plan.Crests[p.spec.Name]; is {
		p.starved = p.step.solver.State(c.Link) == water.Closed
		p.step.PutState(at, p.dryID, p.dryRunning())
	}
	return false
}

// shutOff is the head behind it when nothing flows, m above the datum.
func (p *Pump) shutOff() float64 {
	head := p.step.solver.Head(p.step.plan.Nodes[p.spec.From])
	if p.running() && !p.unprimed {
		head += float64(p.spec.Curve[0].Head.SI * p.head)
	}
	return head
}
