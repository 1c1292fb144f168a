package site

import (
	"math"

	"ullage/fakes/water"
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
	empty      bool    // nothing left to draw

	inflow float64 // knob: rain, a bucket
	draw   float64 // knob: somebody or something takes water

	level curve
}

// net is the net inflow that follows from a solve: what the network brings, and what comes and goes beside it.
func (t *tank) net(fromNetwork float64) float64 {
	net := fromNetwork + t.inflow - t.draw
	if t.empty && net < 0 {
		return 0
	}
	return net
}

// taken is the flow that is really drawn: from an empty tank no more than what comes in.
func (t *tank) taken(fromNetwork float64) float64 {
	if t.empty {
		return math.Min(t.draw, math.Max(0, fromNetwork+t.inflow))
	}
	return t.draw
}

// volumeAt is the volume at a share of a step of dt seconds.
func (t *tank) volumeAt(share, dt float64) float64 {
	tau := share * dt
	return t.volume + float64(t.start*tau) + float64((t.end-t.start)*share*tau)/2
}

// pieces are the shares of the step between which the level runs one way.
func (t *tank) pieces() [][2]float64 {
	if turn := vertex(t.start, t.end); turn > 0 && turn < 1 {
		return [][2]float64{{0, turn}, {turn, 1}}
	}
	return [][2]float64{{0, 1}}
}

// passes finds the first moment after `from` at which the level has come to or passed `level` in the wanted direction,
// within the step that runs from t0 for dt seconds; Never when it does not.
func (t *tank) passes(level float64, rising bool, from, t0 signal.Time, dt float64) signal.Time {
	volume := level * t.area
	past := func(m signal.Time) bool {
		v := t.volumeAt(math.Min(1, (m-t0).Seconds()/dt), dt)
		return rising && v >= volume || !rising && v <= volume
	}
	for _, piece := range t.pieces() {
		begin, end := t0+signal.FromSeconds(piece[0]*dt), t0+signal.FromSeconds(piece[1]*dt)
		begin = max(begin, from)
		if begin >= end {
			continue
		}
		if past(begin) {
			return begin + 1
		}
		if past(end) {
			return firstPast(begin, end, past)
		}
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

const (
	bend   = 2e-5  // m, by how much the trace's straight lines may miss the level between two points
	primes = 0.010 // m, how far above its dry level a pump draws water again (common practice, no source)
)
