package site

import (
	"math"

	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// tank is an open tank. Within a step its net inflow runs straight from start to end, so that its volume is a parabola
// that is the exact integral of the recorded flows; its level follows from the volume by its shape.
type tank struct {
	spec    sitefile.Tank
	node    water.Node
	vessel  water.Vessel
	curved  bool      // its area is not the same at all levels
	cushion bool      // it is the pressure vessel of a pump, and what is said of levels holds for volumes: its area counts as 1
	marks   []float64 // volumes at which something changes its law: steps end there
	covers  float64   // m³ with which it feeds its pipes again after it was empty
	dips    []*dip
	daily   []daily

	tolerance    float64     // m, error of its level over one step
	bend         float64     // m, by how much the trace's straight lines may miss its level between two points
	volume, area float64     // m³, and m² of its surface, at the start of the step
	start, end   float64     // net inflow, m³/s
	dry          bool        // the network gets nothing: it has run empty and has not gathered water again
	routine      float64     // m³/s taken from it at this time of day
	changes      signal.Time // when that changes

	inflow    float64 // knob: rain, a bucket
	draw      float64 // knob: somebody or something takes water
	standpipe float64 // knob: open share of the standpipe
	weir      float64 // knob: open share of the weir
	hole      float64 // knob: m² through which it leaks
	holeAt    float64 // knob: m above the floor

	level curve
}

const (
	beyond = 1.01  // how much further than to the next mark a step is tried
	covers = 0.001 // m, of water over the floor with which an empty tank feeds its pipes again (common practice, no source)
)

func (s *Site) openTanks(panel *fault.Panel) {
	for _, spec := range s.spec.Tanks {
		vessel := s.plan.Vessels[spec.Name]
		_, upright := vessel.(water.Upright)
		t := &tank{spec: spec, node: s.plan.Nodes[spec.Name], vessel: vessel, curved: !upright, covers: vessel.Volume(covers),
			changes: signal.Never, tolerance: levelTolerance, bend: levelBend, level: newCurve(s.record, spec.Name, "level", quantity.Length)}
		s.tanks = append(s.tanks, t)
		t.holds(vessel.Volume(spec.Starts.SI))
		t.marks = []float64{0, t.covers}
		t.mark(append(water.Kinks(vessel), spec.Rim.SI)...)
		s.openDraws(t)
		s.openOverflows(t, panel)
		s.openLeak(t, panel)
		s.openDips(t)
		s.flow(spec.Name, "rain", func() float64 { return t.inflow })
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "tank", Name: "draw", Dim: quantity.Flow, Max: 0.1, Join: fault.Add}, &t.draw, s.jumps)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "tank", Name: "inflow", Dim: quantity.Flow, Max: 0.1, Join: fault.Add}, &t.inflow, s.jumps)
		for _, p := range s.pumps {
			if s.plan.Source(p.spec.From) == spec.Name {
				p.draws(t)
			}
		}
	}
}

// jumps is the effect of a knob that makes flows jump.
func (s *Site) jumps() { s.jump = true }

// openOverflows declares what runs over the rim and away by standpipe and weir.
func (s *Site) openOverflows(t *tank, panel *fault.Panel) {
	name := t.spec.Name
	s.volume(name, "spilled", s.flow(name, "spill", s.from(s.plan.Rims[name])), true)
	var ways []water.Outlet
	way := func(outlet water.Outlet, knob string, crest float64, open *float64) {
		ways = append(ways, outlet)
		t.mark(crest)
		s.offer(panel, fault.Knob{Device: name, Kind: "tank", Name: knob, Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Multiply}, open, func() {
			s.solver.SetOpen(outlet, passable(*open))
			s.jump = true
		})
	}
	if pipe, ok := s.plan.Standpipes[name]; ok {
		way(pipe, "standpipe", t.spec.Standpipe.Crest.SI, &t.standpipe)
	}
	if notch, ok := s.plan.Weirs[name]; ok {
		way(notch, "weir", t.spec.Weir.Crest.SI, &t.weir)
	}
	if ways != nil {
		s.volume(name, "overflowed", s.flow(name, "overflow", s.from(ways...)), true)
	}
}

// mark has steps end at levels.
func (t *tank) mark(levels ...float64) {
	for _, level := range levels {
		t.marks = append(t.marks, t.vessel.Volume(level))
	}
}

// holds sets the volume in the tank.
func (t *tank) holds(volume float64) {
	t.volume = volume
	if !t.cushion {
		t.area = t.vessel.Area(t.vessel.Level(volume))
	}
}

// shown is what the trace says of it: the level, of a pressure vessel the volume.
func (t *tank) shown() float64 {
	if t.cushion {
		return t.volume
	}
	return t.vessel.Level(t.volume)
}

// look tells whether the tank has run empty or can feed the network again.
func (t *tank) look() (changed bool) {
	dry := t.volume <= 0 || t.dry && t.volume < t.covers
	changed = dry != t.dry
	t.dry = dry
	return changed
}

// net is the net inflow that follows from a solve: what the network brings, and what comes and goes beside it.
func (t *tank) net(fromNetwork float64) float64 { return fromNetwork + t.inflow - t.taken(fromNetwork) }

// asked is the flow that is to be drawn.
func (t *tank) asked() float64 { return t.draw + t.routine }

// taken is the flow that is really drawn: from an empty tank no more than what comes in.
func (t *tank) taken(fromNetwork float64) float64 {
	if t.volume <= 0 {
		return math.Min(t.asked(), math.Max(0, fromNetwork+t.inflow))
	}
	return t.asked()
}

// ahead is after how many seconds the volume would meet the next mark, if it went on as it goes now; +Inf when there is
// none. A step that goes a little further ends there, and one much further is for nothing.
func (t *tank) ahead() float64 {
	seconds := math.Inf(1)
	for _, mark := range t.marks {
		if after := (mark - t.volume) / t.start; after > 0 {
			seconds = math.Min(seconds, after*beyond)
		}
	}
	return seconds
}

// volumeAt is the volume at a share of a step of dt seconds, levelAt the level.
func (t *tank) volumeAt(share, dt float64) float64 {
	tau := share * dt
	return t.volume + float64(t.start*tau) + float64((t.end-t.start)*share*tau)/2
}

func (t *tank) levelAt(share, dt float64) float64 { return t.vessel.Level(t.volumeAt(share, dt)) }

// passes finds the first moment after `from` at which the level has come to or passed `level` in the wanted direction,
// within the step that runs from t0 for dt seconds; Never when it does not.
func (t *tank) passes(level float64, rising bool, from, t0 signal.Time, dt float64) signal.Time {
	return t.meets(t.vessel.Volume(level), rising, from, t0, dt)
}

// meets is passes for a volume: the volume is a parabola in time whatever the shape of the tank, and grows with the level.
func (t *tank) meets(volume float64, rising bool, from, t0 signal.Time, dt float64) signal.Time {
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

// straight is the share of the step for which a straight line is as good as the course of the level: to its turning point,
// or as far as the line misses it by no more than it may.
func (t *tank) straight(dt float64) float64 {
	share := 1.0
	if turn := vertex(t.start, t.end); turn > 0 && turn < 1 {
		share = turn
	}
	if t.curved {
		return t.straightened(share, dt)
	}
	if sag := math.Abs(t.end-t.start) * share * share * dt / (8 * t.area); sag > t.bend {
		share *= math.Sqrt(t.bend / sag)
	}
	return share
}

// straightened shortens a share of the step until a straight line misses the level by no more than it may at its quarters.
func (t *tank) straightened(share, dt float64) float64 {
	const tries, margin = 20, 0.9
	first := t.levelAt(0, dt)
	for range tries {
		rise, sag := t.levelAt(share, dt)-first, 0.0
		for _, part := range [...]float64{0.25, 0.5, 0.75} {
			sag = math.Max(sag, math.Abs(t.levelAt(part*share, dt)-first-float64(part*rise)))
		}
		if sag <= t.bend {
			break
		}
		share *= margin * math.Sqrt(t.bend/sag)
	}
	return share
}
