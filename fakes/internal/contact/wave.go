package contact

import (
	"math"

	"ullage/harness/numeric"
	"ullage/harness/signal"
)

// Wave is the lowest sloshing mode of the water in a tank, as a float at the wall meets it: it grows towards a crest
// while something stirs the water, and dies away after. Between two calls of Go it is a closed form of time. The zero
// Wave is still water. It is used from one goroutine.
type Wave struct {
	since signal.Time
	crest float64 // m, at since
	goal  float64 // m, towards which it grows or dies away
	omega float64 // rad/s
	decay float64 // 1/s
	phase float64 // rad, at since
}

// ripple is the crest below which water counts as still, m.
const ripple = 1e-4

// Go sets what the wave does from a moment on: the crest towards which it grows (m), its angular frequency (rad/s), and
// its damping as a share of the critical one.
func (w *Wave) Go(at signal.Time, goal, omega, damping float64) {
	crest, phase := w.Crest(at), w.angle(at)
	if w.Still(at) {
		crest, phase = 0, 0
	}
	*w = Wave{since: at, crest: crest, goal: goal, omega: omega, decay: damping * omega,
		phase: phase - float64(2*math.Pi*math.Floor(phase/(2*math.Pi)))}
}

// Still reports whether the water is calm at a moment and stays so.
func (w *Wave) Still(at signal.Time) bool { return w.Most(at) < ripple }

// Most is the highest crest from a moment on, m.
func (w *Wave) Most(at signal.Time) float64 {
	if w.goal >= w.crest {
		return w.goal
	}
	return w.Crest(at)
}

// Crest is the height of the crests at a moment, m above the mean level: it goes to its goal exponentially.
func (w *Wave) Crest(at signal.Time) float64 {
	if w.crest == w.goal {
		return w.goal
	}
	return w.goal + float64((w.crest-w.goal)*numeric.Exp(-float64(w.decay*(at-w.since).Seconds())))
}

// Height is how far the water at the wall stands above the mean level at a moment, m.
func (w *Wave) Height(at signal.Time) float64 { return float64(w.Crest(at) * numeric.Sin(w.angle(at))) }

// Speed is how fast Height rises at a moment, m/s.
func (w *Wave) Speed(at signal.Time) float64 {
	crest, angle := w.Crest(at), w.angle(at)
	return float64(crest*w.omega*numeric.Cos(angle)) - float64(w.decay*(crest-w.goal)*numeric.Sin(angle))
}

// HalfWave is the end of the half wave that a moment is in: the next moment at which the water passes its mean level.
func (w *Wave) HalfWave(at signal.Time) signal.Time {
	if w.omega == 0 {
		return signal.Never
	}
	halves := math.Floor(w.angle(at)/math.Pi) + 1
	end := w.since + signal.FromSeconds((float64(halves*math.Pi)-w.phase)/w.omega)
	return max(end, at+1)
}

func (w *Wave) angle(at signal.Time) float64 {
	return w.phase + float64(w.omega*(at-w.since).Seconds())
}
