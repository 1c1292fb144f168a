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
// De-energised, it falls as long as the differential is SeatsAt times the square of the share of the stroke that it has
// fallen: the spring, compressed while the disc is up, does the rest, and most is needed to press the diaphragm home. Where
// there is less it stays at once and leaves a gap, wide or narrow, until the differential is greater by a tenth. A valve far
// too large for its flow stays likewise, and one that is seated stays seated.
//
// Not modelled: a pressure from behind, which lifts a real diaphragm; a leak of the pilot; chatter quicker than two pilot
// strokes. With every fall in one run the wait before it rises again grows by a tenth of the pilot's stroke, so that a night of
// chatter has some two thousand cycles and not a hundred thousand: the flow of a long chatter comes out too small. The law is
// a balance of forces in its simplest form; its figures are common practice, no source.
type pilot struct {
	spec    sitefile.Operation
	seatsAt float64 // knob: Pa that it needs at the least to seat
	turned  float64 // knob: it is fitted the wrong way round: above 0

	differential *curve
	energised    bool
	way          int         // 1 the disc is let rise, -1 fall, 0 stay
	turns        signal.Time // when it goes another way; Never while it need not
	falls        int         // of the disc since the coil was energised
}

const (
	holding  = sitefile.HoldingShare
	jet      = 0.1 // of the stroke, below which an energised disc does not float (common practice, no source)
	sticking = 0.1 // of a differential, by which it must change before a disc that stands moves (common practice, no source)
	level    = 1.0 // Pa, that is no differential
)

// wish is the way that the disc ought to go.
func (p *pilot) wish(disc, differential float64) int {
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
	case disc == 0:
		return -1
	}
	need := math.Max(p.spec.SeatsAt.SI, p.seatsAt) * (1 - disc) * (1 - disc)
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
func (p *pilot) order(energised bool, disc, differential float64) {
	if energised != p.energised {
		p.energised, p.falls = energised, 0
		p.way, p.turns = p.wish(disc, differential), signal.Never
	}
}

// waits is how long the disc goes on as it does before it goes the way that it ought to.
func (p *pilot) waits(wish int) signal.Time {
	seconds := p.spec.PilotStroke.SI
	if lifted, _ := p.lifted(); lifted && p.way < 0 && wish > 0 {
		seconds *= 1 + float64(p.falls)/10
		p.falls++
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

func (s *Site) openPilot(d *drive, panel *fault.Panel) {
	if d.spec.Operates != sitefile.Pilot {
		return
	}
	from, to := s.plan.Nodes[d.spec.From], s.plan.Nodes[d.spec.Name]
	c := newCurve(s.record, d.spec.Name, "differential", quantity.Pressure)
	c.reach, c.tolerance = leastPressure, pressureTolerance
	c.read = func() float64 { return float64((s.solver.Head(from) - s.solver.Head(to)) * pipework.PerMetre) }
	s.curves = append(s.curves, &c)
	d.pilot = &pilot{spec: d.spec.Operation, differential: &c, way: -1, turns: signal.Never}
	s.pilots = append(s.pilots, d)
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "seats at", Dim: quantity.Pressure, Max: 1e7, Join: fault.Largest},
		&d.pilot.seatsAt, func() { s.turn = true })
	s.offerTurned(d, panel)
}

// turnPilots lets the discs go the other way whose pilots have done their stroke.
func (s *Site) turnPilots(at signal.Time) {
	for _, d := range s.pilots {
		if p := d.pilot; p.turns <= at {
			p.way, p.turns = p.wish(d.at(at), p.differential.start), signal.Never
			s.aim(d, at)
		}
	}
}

// regardPilots looks what the differentials of a moment ask of the discs.
func (s *Site) regardPilots(at signal.Time) {
	for _, d := range s.pilots {
		p := d.pilot
		switch wish := p.wish(d.at(at), p.differential.start); {
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
		other := func(t signal.Time) bool { return p.wish(d.at(t), p.differential.at(s.share(t))) != p.way }
		if other(s.t1) {
			s.shorten(firstPast(s.t0, s.t1, s.t0, other))
		}
	}
}
