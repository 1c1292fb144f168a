package wiring

import (
	"math"

	"ullage/harness"
	"ullage/harness/signal"
)

// fresh is how long the noise of a probe keeps a value.
const fresh = signal.Second

// noise is what the output of a probe is off by, V: held for a second, and a function of time alone.
type noise struct {
	name   string
	draw   harness.Draw
	own    float64 // V rms, by the site file
	added  float64 // knob: V rms, besides
	spike  float64 // knob: V, by which a reading is off now and then
	spikes float64 // knob: share of the seconds in which it is
}

// any reports whether there is noise.
func (n *noise) any() bool { return n.own+n.added+n.spike > 0 }

// at is the noise at a moment, V, with the spike that it has then, and its root mean square: near enough to a normal
// distribution (the sum of four uniform numbers, scaled to the rms).
func (n *noise) at(at signal.Time) (volts, rms float64) {
	off := n.spiked(at)
	rms = math.Sqrt(float64(n.own*n.own) + float64(n.added*n.added))
	if rms == 0 {
		return off, 0
	}
	sum := -2.0
	for i := range uint64(4) {
		sum += n.draw.Uniform(n.name, "noise", uint64(at/fresh)*4+i)
	}
	return float64(rms*math.Sqrt(3)*sum) + off, rms
}

// spiked is by how much the output is off in the second of a moment, V: up or down, in a share of the seconds.
func (n *noise) spiked(at signal.Time) float64 {
	second := uint64(at / fresh)
	if n.spike == 0 || n.draw.Uniform(n.name, "spike", second) >= n.spikes {
		return 0
	}
	if n.draw.Uniform(n.name, "spike up", second) < 0.5 {
		return -n.spike
	}
	return n.spike
}
