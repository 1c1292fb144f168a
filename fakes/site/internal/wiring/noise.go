package wiring

import (
	"math"

	"ullage/harness/signal"
)

// listen sets when the noise takes its next value.
func (p *sensor) listen(at signal.Time) {
	p.renews = signal.Never
	if p.spec.Noise.SI+p.noise+p.spike > 0 && p.terminal >= 0 {
		p.renews = (at/fresh + 1) * fresh
	}
	if p.lag.constant > 0 && p.terminal >= 0 {
		p.renews = min(p.renews, p.lag.renews(at))
	}
}

func (p *sensor) next() signal.Time { return p.renews }

// pass renews the noise when that is due.
func (p *sensor) pass(at signal.Time) {
	if p.renews <= at {
		p.listen(at)
		p.sendIfChanged(at)
	}
}

// rough is the noise at a moment, V, with the spike that it has then, and its root mean square: held for a second, near
// enough to a normal distribution (the sum of four uniform numbers, scaled to the rms), and a function of time alone.
func (p *sensor) rough(at signal.Time) (noise, rms float64) {
	off := p.spiked(at)
	rms = math.Sqrt(float64(p.spec.Noise.SI*p.spec.Noise.SI) + float64(p.noise*p.noise))
	if rms == 0 {
		return off, 0
	}
	sum := -2.0
	for i := range uint64(4) {
		sum += p.draw.Uniform(p.spec.Name, "noise", uint64(at/fresh)*4+i)
	}
	return float64(rms*math.Sqrt(3)*sum) + off, rms
}

// spiked is by how much the output is off in the second of a moment, V: up or down, in a share of the seconds, and a
// function of time alone.
func (p *sensor) spiked(at signal.Time) float64 {
	second := uint64(at / fresh)
	if p.spike == 0 || p.draw.Uniform(p.spec.Name, "spike", second) >= p.spikes {
		return 0
	}
	if p.draw.Uniform(p.spec.Name, "spike up", second) < 0.5 {
		return -p.spike
	}
	return p.spike
}
