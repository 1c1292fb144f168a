package site_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/signal"
)

// dripping is a meter of DN 15 by its capacity, 1 L a pulse, with one opening behind it that runs all the time.
func dripping(flow, meter string) string {
	return fmt.Sprintf(`site: drip
supplies:
  - {name: mains, static: 2 bar, residual: 1.9 bar, at: 20 L/min}
meters:
  - {name: meter, from: mains, capacity: 3 m3/h, per-pulse: 1 L%s}
outlets:
  - {name: drip, from: meter, flow: %s, at: 2 bar}
`, meter, flow)
}

func (r *rig) pulses(meter string) int {
	pulses := 0
	for _, at := range r.changes(meter+".closed", 1) {
		if at > 0 {
			pulses++
		}
	}
	return pulses
}

// Below the flow that it starts at a meter counts nothing: 8 L/h are lost on one of DN 15.
func TestMeterStartsAtAFlow(t *testing.T) {
	for _, c := range []struct {
		flow, meter string
		pulses      int
	}{
		{"8 L/h", "", 0}, {"12 L/h", "", 24}, {"8 L/h", ", starts-at: 5 L/h", 16}, {"12 L/h", ", starts-at: 15 L/h", 0},
		{"8 L/h", ", starts-at: 0 L/h", 16},
	} {
		t.Run(c.flow+c.meter, func(t *testing.T) {
			r := open(t, read(t, dripping(c.flow, c.meter)+controllerOf(nil, nil)))
			r.run(2 * signal.Hour)
			r.end()
			assert.InDelta(t, c.pulses, r.pulses("meter"), 1)
			assert.Greater(t, r.last("meter.volume"), 0.0155, "the water passes all the same")
		})
	}
}

// An impeller that is stuck counts nothing until it is free again, and then goes on where it was.
func TestMeterSticksAndComesFree(t *testing.T) {
	r := open(t, read(t, dripping("60 L/h", "")+controllerOf(nil, nil)))
	r.run(signal.Hour)
	r.open("meter", "stuck", 1)
	r.run(3 * signal.Hour)
	r.close("meter", "stuck", 1)
	r.run(4 * signal.Hour)
	r.end()
	closed := r.changes("meter.closed", 1)
	for _, at := range closed {
		assert.False(t, at > signal.Hour && at < 3*signal.Hour, "a pulse at %v", at)
	}
	assert.InDelta(t, 120, r.pulses("meter"), 2)
	assert.InDelta(t, 0.24, r.last("meter.volume"), 2e-3)
}

func TestMeterMissesPulses(t *testing.T) {
	count := func(share float64) int {
		r := open(t, read(t, dripping("240 L/h", "")+controllerOf(nil, nil)))
		r.open("meter", "misses", share)
		r.run(signal.Hour)
		r.end()
		return r.pulses("meter")
	}
	all := count(0)
	assert.InDelta(t, 240, all, 2)
	assert.InDelta(t, 120, count(0.5), 25, "half of them, by chance")
	assert.Zero(t, count(1))
	assert.Equal(t, count(0.5), count(0.5), "the same ones each time")
}
