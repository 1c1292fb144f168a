package hydraulics

import (
	"math"

	"ullage/fakes/site/internal/device"
	"ullage/fakes/water"
	"ullage/harness/signal"
)

// store is water that is stored: that of a tank, or of the pressure vessel of a pump. Within a step its net inflow runs
// straight from start to end, so that its volume is a parabola that is the exact integral of the recorded flows; its
// level follows from the volume by its shape.
type store struct {
	node   water.Node
	vessel water.Vessel
	curved bool // its area is not the same at all levels
	// it is the pressure vessel of a pump, and what is said of levels holds for volumes: its area counts as 1
	cushion bool
	full    float64   // m³, of the contents of pipes: what is said of levels then holds for the air; 0 otherwise
	marks   []float64 // volumes at which something changes its law: steps end there
	covers  float64   // m³ with which it feeds its pipes again after it was empty

	tolerance    float64 // m, error of its level over one step
	bend         float64 // m, by how much the trace's straight lines may miss its level between two points
	volume, area float64 // m³, and m² of its surface, at the start of the step
	start, end   float64 // net inflow, m³/s
	dry          bool    // the network gets nothing: it has run empty and has not gathered water again
	level        device.Line

	rain    float64 // knob: m³/s that come in beside the network: rain, a bucket
	draw    float64 // knob: m³/s that somebody or something takes
	routine float64 // m³/s taken from it at this time of day
}

const (
	leastFlow      = 2e-5  // m³/s, which a flow is taken to reach at least
	rounding       = 1e-13 // m³/s, a flow that is only what the solver's rounding leaves
	levelTolerance = 1e-6  // m, error of a level over one step
	levelBend      = 2e-5  // m, by how much the trace's straight lines may miss the level between two points
	beyond         = 1.01  // how much further than to the next mark a step is tried
	// m, of water over the floor with which an empty tank feeds its pipes again (common practice, no source)
	covers = 0.001
)

// withoutRounding is a flow of the network without what only rounding leaves.
func withoutRounding(flow float64) float64 {
	if math.Abs(flow) > rounding {
		return flow
	}
	return 0
}

// newStore makes an empty store.
func newStore(node water.Node, vessel water.Vessel) store {
	t := store{node: node, vessel: vessel, covers: vessel.Volume(covers), tolerance: levelTolerance, bend: levelBend}
	t.marks = []float64{0, t.covers}
	return t
}

// mark has steps end at levels.
func (t *store) mark(levels ...float64) {
	for _, level := range levels {
		t.marks = append(t.marks, t.vessel.Volume(level))
	}
}

// holds sets the volume in the store.
func (t *store) holds(volume float64) {
	t.volume = volume
	if !t.cushion {
		t.area = t.vessel.Area(t.vessel.Level(volume))
	}
}

// shown is what the trace has of it: the level, of a pressure vessel the volume, of pipes the air in them.
func (t *store) shown() float64 {
	switch {
	case t.full > 0:
		return t.full - t.volume
	case t.cushion:
		return t.volume
	}
	return t.vessel.Level(t.volume)
}

// change works out whether the store has run empty or can feed the network again.
func (t *store) change(signal.Time) (jump bool) {
	dry := t.volume <= 0 || t.dry && t.volume < t.covers
	jump = dry != t.dry
	t.dry = dry
	return jump
}

// net is the net inflow that follows from a solve: what the network brings, and what comes and goes beside it.
func (t *store) net(fromNetwork float64) float64 { return fromNetwork + t.rain - t.taken(fromNetwork) }

// asked is the flow that is to be drawn.
func (t *store) asked() float64 { return t.draw + t.routine }

// taken is the flow that is really drawn: from an empty tank no more than what comes in.
func (t *store) taken(fromNetwork float64) float64 {
	if t.volume <= 0 {
		return math.Min(t.asked(), math.Max(0, fromNetwork+t.rain))
	}
	return t.asked()
}

// still reports whether it neither fills nor empties.
func (t *store) still() bool { return math.Abs(t.start) <= rounding }

// cut ends the present step of dt seconds at a moment, which is a share of it.
func (t *store) cut(at signal.Time, share, dt float64) {
	t.holds(t.volumeAt(share, dt))
	t.level.To(at, t.shown())
	t.start += float64((t.end - t.start) * share)
	t.end = t.start
}

// ahead is after how many seconds the volume would meet the next mark, if it went on as it goes now; +Inf when there is
// none. A step that goes a little further ends there, and one much further is for nothing.
func (t *store) ahead() float64 {
	seconds := math.Inf(1)
	for _, mark := range t.marks {
		if after := (mark - t.volume) / t.start; after > 0 {
			seconds = math.Min(seconds, after*beyond)
		}
	}
	return seconds
}

// volumeAt is the volume at a share of a step of dt seconds, levelAt the level.
func (t *store) volumeAt(share, dt float64) float64 {
	tau := share * dt
	return t.volume + float64(t.start*tau) + float64((t.end-t.start)*share*tau)/2
}

func (t *store) levelAt(share, dt float64) float64 { return t.vessel.Level(t.volumeAt(share, dt)) }

// meets finds the first moment after `from` at which the volume has come to or passed a volume in the wanted direction,
// within the step that runs from t0 for dt seconds; Never when it does not. The volume is a parabola in time whatever
// the shape of the tank, and grows with the level.
func (t *store) meets(volume float64, rising bool, from, t0 signal.Time, dt float64) signal.Time {
	past := func(m signal.Time) bool {
		v := t.volumeAt(math.Min(1, (m-t0).Seconds()/dt), dt)
		return rising && v >= volume || !rising && v <= volume
	}
	begin, end := from, t0+signal.FromSeconds(dt)
	if turn := device.Vertex(t.start, t.end); turn > 0 && turn < 1 { // it runs one way before, and the other way after
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
		guess := t0 + signal.FromSeconds(device.Reaches(volume-t.volume, t.start, t.end, dt))
		return device.FirstPast(begin, end, guess, past)
	}
	return signal.Never
}

// straight is the share of the step for which a straight line is as good as the course of the level: to its turning
// point, or as far as the line misses it by no more than it may.
func (t *store) straight(dt float64) float64 {
	share := 1.0
	if turn := device.Vertex(t.start, t.end); turn > 0 && turn < 1 {
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

// straightened shortens a share of the step until a straight line misses the level by no more than it may at its
// quarters.
func (t *store) straightened(share, dt float64) float64 {
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
