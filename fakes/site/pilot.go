package site

import (
	"math"

	"ullage/fakes/pipework"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// pilot moves the disc of a valve with the water's own pressure. The coil opens a small hole that empties the room over the
// diaphragm, and the pressure before the valve lifts the disc; shut, it lets the room fill, and the same pressure shuts it.
// Either way the force is the differential, the pressure before the valve less that behind it, as the network gives it.
//
// Energised, a seated disc rises when the differential is OpensAt. Off its seat it needs half of that, the diaphragm being
// lifted by the whole of its area: with more it rises, with less it falls, and in balance it floats and takes that
// differential from the flow. Near the seat it does not float, as the jet takes away what the area gives: there it falls
// back, and lifts again where the differential at rest is enough. That is chatter. A disc turns round only when the room has
// filled or emptied, PilotStroke later, and goes on until then.
//
// De-energised, it falls as long as the differential is SeatsAt times the twelfth power of the share of the stroke that it
// has fallen: the spring, compressed while the disc is up, does the rest, and what presses the diaphragm home is needed in
// the last part. The power is such that every disc which floats falls when its coil is let go: what held it up then presses
// it down. Where there is less it stays at once and leaves a gap, wide or narrow, until the differential is greater by a
// tenth. In water that stands under pressure, the spring alone brings it home; where the pipe has drained, nothing fills the
// room. One that is seated stays seated.
//
// Water that is shut in behind a seated disc, before valves that are shut, keeps its pressure, so that nothing lifts the disc
// again until it gets away.
//
// Not modelled: a pressure from behind, which lifts a real diaphragm; a leak of the pilot; chatter quicker than two pilot
// strokes. With every fall in one run the wait before it rises again grows by a twentieth, so that a night of chatter has
// some two hundred cycles and not a hundred thousand: the flow of a long chatter comes out too small. The law is a balance
// of forces in its simplest form; its figures are common practice, no source.
type pilot struct {
	spec    sitefile.Operation
	seatsAt float64 // knob: Pa that it needs at the least to seat
	turned  float64 // knob: it is fitted the wrong way round: above 0

	flow, before *curve // through the valve, and the pressure before it
	differential *curve
	energised    bool
	way          int         // 1 the disc is let rise, -1 fall, 0 stay
	turns        signal.Time // when it goes another way; Never while it need not
	wait         float64     // pilot strokes before the disc rises again after its next fall
	behind       float64     // m, head behind the disc, last when it was off its seat
	up           *pilot      // of the next valve on the way to the supply; nil when that has none
}

const (
	holding  = sitefile.HoldingShare
	jet      = 0.1  // of the stroke, below which an energised disc does not float (common practice, no source)
	sticking = 0.1  // of a differential, by which it must change before a disc that stands moves (common practice, no source)
	level    = 1.0  // Pa, that is no differential
	longer   = 0.05 // by which each wait before a rise is longer than the last (bounds a night of chatter)
)

// wish is the way that the disc ought to go at a share of the present step.
func (p *pilot) wish(disc, share float64) int {
	differential := p.differential.at(share)
	lifted, opensAt := p.lifted()
	switch {
	case lifted && disc == 0 && p.way <= 0: // seated, and not on the point of leaving
		return way(differential >= opensAt, false)
	case lifted:
		hold := opensAt * holding
		if disc < jet {
			return way(differential > hold*(1+sticking), differential <= hold*(1+sticking))
		}
		return way(differential > hold*(1+sticking), differential < hold*(1-sticking))
	case disc == 0 || differential <= level && p.flow.at(share) == 0 && p.before.at(share) > level:
		return -1
	}
	fourth := (1 - disc) * (1 - disc) * (1 - disc) * (1 - disc)
	need := math.Max(p.spec.SeatsAt.SI, p.seatsAt) * fourth * fourth * fourth
	if p.way >= 0 {
		need *= 1 + sticking
	}
	return way(false, differential+level >= need)
}

func way(up, down bool) int {
	switch {
	case up:
		return 1
	case down:
		return -1
	}
	return 0
}

// order tells the pilot what its coil does. A change takes effect at once: the stroke times of a valve count from its coil.
func (p *pilot) order(energised bool, disc, share float64) {
	if energised != p.energised {
		p.energised, p.wait = energised, 1
		p.way, p.turns = p.wish(disc, share), signal.Never
	}
}

// waits is how long the disc goes on as it does before it goes the way that it ought to.
func (p *pilot) waits(wish int) signal.Time {
	seconds := p.spec.PilotStroke.SI
	if lifted, _ := p.lifted(); lifted && p.way < 0 && wish > 0 {
		seconds *= p.wait
		p.wait *= 1 + longer
	}
	return signal.FromSeconds(seconds)
}

// lets is what the water makes of the share of the stroke that the actuator wants.
func (p *pilot) lets(wanted, disc float64) float64 {
	switch p.way {
	case 1:
		if p.turned > 0 {
			return 1
		}
		return wanted
	case -1:
		return 0
	}
	return disc
}

func (s *Site) openPilot(d *drive, flow, pressure *curve, panel *fault.Panel) {
	if d.spec.Operates != sitefile.Pilot {
		return
	}
	from, to := s.plan.Nodes[d.spec.From], s.plan.Nodes[d.spec.Name]
	c := newCurve(s.record, d.spec.Name, "differential", quantity.Pressure)
	c.reach, c.tolerance = leastPressure, pressureTolerance
	p := &pilot{spec: d.spec.Operation, flow: flow, before: pressure, differential: &c, way: -1, turns: signal.Never, wait: 1, behind: s.plan.Heights[d.spec.Name]}
	c.read = func() float64 {
		before, behind := s.solver.Head(from), s.solver.Head(to)
		if p.up != nil && s.solver.ShutIn(from) {
			before = p.up.behind
		}
		if s.solver.ShutIn(to) {
			behind = math.Min(before, p.behind)
		}
		return float64((before - behind) * pipework.PerMetre)
	}
	s.curves = append(s.curves, &c)
	d.pilot = p
	s.pilots = append(s.pilots, d)
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "seats at", Dim: quantity.Pressure, Max: 1e7, Join: fault.Largest},
		&d.pilot.seatsAt, func() { s.turn = true })
	s.offerTurned(d, panel)
}

// linkPilots finds of each pilot the one before it: between two shut valves their water is shut in together.
func (s *Site) linkPilots() {
	valves := map[string]*drive{}
	for _, d := range s.drives {
		valves[d.spec.Name] = d
	}
	for _, d := range s.pilots {
		for name := s.plan.Feeds[d.spec.Name]; name != "" && d.pilot.up == nil; name = s.plan.Feeds[name] {
			if up := valves[name]; up != nil {
				d.pilot.up = up.pilot
				break
			}
		}
	}
}

// turnPilots lets the discs go the other way whose pilots have done their stroke.
func (s *Site) turnPilots(at signal.Time) {
	for _, d := range s.pilots {
		if p := d.pilot; p.turns <= at {
			p.way, p.turns = p.wish(d.at(at), 0), signal.Never
			s.aim(d, at)
		}
	}
}

// regardPilots looks what the differentials of a moment ask of the discs.
func (s *Site) regardPilots(at signal.Time) {
	for _, d := range s.pilots {
		p := d.pilot
		if d.open() {
			p.behind = s.plan.Heights[d.spec.From] + pipework.Head(p.before.start-p.differential.start)
		}
		switch wish := p.wish(d.at(at), 0); {
		case wish == p.way:
			p.turns = signal.Never
		case wish == 0 && p.way != 0:
			p.way, p.turns = 0, signal.Never
			s.aim(d, at)
		case p.turns == signal.Never:
			p.turns = at + p.waits(wish)
		}
	}
}

// meetPilots shortens the step to the first moment at which a differential asks a disc to go another way.
func (s *Site) meetPilots() {
	for _, d := range s.pilots {
		p := d.pilot
		if p.turns != signal.Never {
			continue
		}
		other := func(t signal.Time) bool { return p.wish(d.at(t), s.share(t)) != p.way }
		end := s.t1
		if d.closes() && d.at(end) == 0 && end > s.t0+1 {
			end-- // it must get to its seat before it is there
		}
		if other(end) {
			s.shorten(firstPast(s.t0, end, s.t0, other))
		}
	}
}
