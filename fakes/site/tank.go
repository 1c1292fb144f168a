package site

import (
	"math"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// tank is an open tank. Within a step its net inflow runs straight from start to end, so that its volume is a parabola
// that is the exact integral of the recorded flows.
type tank struct {
	spec   sitefile.Tank
	node   water.Node
	area   float64   // m²
	levels []float64 // at which something changes its law: steps end there

	volume     float64 // m³, at the start of the step
	start, end float64 // net inflow, m³/s
	dry        bool    // the network gets nothing: it has run empty and has not gathered water again

	inflow    float64 // knob: rain, a bucket
	draw      float64 // knob: somebody or something takes water
	standpipe float64 // knob: open share of the standpipe

	level curve
}

const (
	beyond = 1.01  // how much further than to the next level a step is tried
	bend   = 2e-5  // m, by how much the trace's straight lines may miss the level between two points
	covers = 0.001 // m, of water over the floor with which an empty tank feeds its pipes again (common practice, no source)
)

func (s *Site) openTanks(panel *fault.Panel) {
	for _, spec := range s.spec.Tanks {
		area, _ := pipework.TankPlan(spec)
		t := &tank{spec: spec, node: s.plan.Nodes[spec.Name], area: area, volume: spec.Starts.SI * area,
			level: newCurve(s.record, spec.Name, "level", quantity.Length), levels: []float64{0, covers, spec.Rim.SI}}
		s.tanks = append(s.tanks, t)
		rim := s.plan.Rims[spec.Name]
		s.volume(spec.Name, "spilled", s.flow(spec.Name, "spill", s.from(rim)), true)
		s.flow(spec.Name, "draw", func() float64 { return t.taken(s.inflow(t)) })
		s.flow(spec.Name, "rain", func() float64 { return t.inflow })
		jumps := func() { s.jump = true }
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "tank", Name: "draw", Dim: quantity.Flow, Max: 0.1, Join: fault.Add}, &t.draw, jumps)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "tank", Name: "inflow", Dim: quantity.Flow, Max: 0.1, Join: fault.Add}, &t.inflow, jumps)
		if pipe, ok := s.plan.Standpipes[spec.Name]; ok {
			t.levels = append(t.levels, spec.Standpipe.Crest.SI)
			s.volume(spec.Name, "overflowed", s.flow(spec.Name, "overflow", s.from(pipe)), true)
			s.offer(panel, fault.Knob{Device: spec.Name, Kind: "tank", Name: "standpipe", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Multiply},
				&t.standpipe, func() {
					s.solver.SetOpen(pipe, passable(t.standpipe))
					s.jump = true
				})
		}
		for _, p := range s.pumps {
			if s.plan.Source(p.spec.From) == spec.Name {
				p.from = t
				t.levels = append(t.levels, p.spec.DryBelow.SI, p.spec.DryBelow.SI+primes)
			}
		}
	}
}

// look tells whether the tank has run empty or can feed the network again.
func (t *tank) look() (changed bool) {
	dry := t.volume <= 0 || t.dry && t.volume < covers*t.area
	changed = dry != t.dry
	t.dry = dry
	return changed
}

// net is the net inflow that follows from a solve: what the network brings, and what comes and goes beside it.
func (t *tank) net(fromNetwork float64) float64 { return fromNetwork + t.inflow - t.taken(fromNetwork) }

// taken is the flow that is really drawn: from an empty tank no more than what comes in.
func (t *tank) taken(fromNetwork float64) float64 {
	if t.volume <= 0 {
		return math.Min(t.draw, math.Max(0, fromNetwork+t.inflow))
	}
	return t.draw
}

// ahead is after how many seconds the level would meet the next one at which something changes its law, if it went on as
// it goes now; +Inf when there is none. A step that goes a little further ends there, and one much further is for nothing.
func (t *tank) ahead() float64 {
	seconds := math.Inf(1)
	for _, level := range t.levels {
		if after := (float64(level*t.area) - t.volume) / t.start; after > 0 {
			seconds = math.Min(seconds, after*beyond)
		}
	}
	return seconds
}

// volumeAt is the volume at a share of a step of dt seconds.
func (t *tank) volumeAt(share, dt float64) float64 {
	tau := share * dt
	return t.volume + float64(t.start*tau) + float64((t.end-t.start)*share*tau)/2
}

// passes finds the first moment after `from` at which the level has come to or passed `level` in the wanted direction,
// within the step that runs from t0 for dt seconds; Never when it does not.
func (t *tank) passes(level float64, rising bool, from, t0 signal.Time, dt float64) signal.Time {
	volume := level * t.area
	past := func(m signal.Time) bool {
		v := t.volumeAt(math.Min(1, (m-t0).Seconds()/dt), dt)
		return rising && v >= volume || !rising && v <= volume
	}
	begin, end := from, t0+signal.FromSeconds(dt)
	if turn := vertex(t.start, t.end); turn > 0 && turn < 1 { // it runs one way before, and the other way after
		middle := t0 + signal.FromSeconds(turn*dt)
		switch {
		case begin >= middle:
		case past(begin) || past(middle):
			end = middle
		default:
			begin = middle
		}
	}
	switch {
	case begin >= end:
		return signal.Never
	case past(begin):
		return begin + 1
	case past(end):
		guess := t0 + signal.FromSeconds(reaches(volume-t.volume, t.start, t.end, dt))
		return firstPast(begin, end, guess, past)
	}
	return signal.Never
}

// straight is the share of the step for which a straight line is as good as the parabola: to its turning point, or as far
// as the line misses it by no more than bend.
func (t *tank) straight(dt float64) float64 {
	share := 1.0
	if turn := vertex(t.start, t.end); turn > 0 && turn < 1 {
		share = turn
	}
	if sag := math.Abs(t.end-t.start) * share * share * dt / (8 * t.area); sag > bend {
		share *= math.Sqrt(bend / sag)
	}
	return share
}
