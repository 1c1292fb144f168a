package site

import (
	"ullage/fakes/electric"
	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// pump is a pump behind its contactor.
type pump struct {
	spec          sitefile.Pump
	link, suction water.Link
	from          *tank // that it draws from; nil when it draws from a pipe
	consumer
	dry bool // it has air before it

	coilID, runningID, dryID signal.ID
}

// primes is how far above its dry level a pump draws water again, m (common practice, no source).
const primes = 0.010

func (s *Site) openPumps() {
	for _, spec := range s.spec.Pumps {
		p := &pump{spec: spec, link: s.plan.Links[spec.Name], suction: s.plan.Suctions[spec.Name],
			consumer: consumer{coil: electric.Coil{PullIn: spec.PullIn.SI, DropOut: spec.DropOut.SI}, ohms: spec.Coil.SI, fed: true},
			coilID:   s.held(spec.Name, "coil"), runningID: s.held(spec.Name, "running"), dryID: s.held(spec.Name, "dry")}
		s.pumps = append(s.pumps, p)
		flow := s.through(p.link)
		s.flow(spec.Name, "flow", flow)
		s.pressure(spec.Name, s.plan.Nodes[spec.Name], flow)
		p.feel = func(_ signal.Time, volts float64) bool {
			s.jump = p.coil.Feel(volts*p.across()) || s.jump
			return false
		}
		s.consumes(spec.Name, &p.consumer, false)
		s.onOutput(spec.Name, func(_ signal.Time, pin harness.Pin) { s.supplied.dirty = p.switched(pin) || s.supplied.dirty })
	}
}

// look tells whether the water before the pump has gone or come back.
func (p *pump) look() (changed bool) {
	if p.from == nil {
		return false
	}
	limit := p.spec.DryBelow.SI
	if p.dry {
		limit += primes
	}
	level := p.from.volume / p.from.area
	dry := level <= limit && !(p.dry && level >= limit)
	changed = dry != p.dry
	p.dry = dry
	return changed
}

// run sets the pump as its contactor and the water before it want. A pump that draws air passes none, and neither does
// its suction when it stands.
func (p *pump) run(s *Site, at signal.Time) {
	speed, suction := 0.0, float64(pipework.SuctionKv)
	if p.coil.Energised {
		speed = 1
	}
	if p.dry {
		speed, suction = 0, 0
	}
	s.solver.SetSpeed(p.link, speed)
	s.solver.SetKv(p.suction, suction)
	s.put(at, p.coilID, state(p.coil.Energised))
	s.put(at, p.runningID, state(p.coil.Energised))
	s.put(at, p.dryID, state(p.coil.Energised && p.dry))
}
