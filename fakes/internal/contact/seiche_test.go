package contact_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/contact"
	"ullage/harness/signal"
)

func TestSeichePeriods(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "seiche of a tank",
		Equation:  "omega^2 = g k tanh(k h); k = pi/L, or 1.8412/R of a cylinder",
		Source:    "linear wave theory (formulas from memory); periods recomputed by an independent program",
		Tolerance: 1e-4, Unit: "s"})
	for _, basin := range []struct{ wave, depth, period float64 }{
		{contact.BoxWave(1.0), 0.1, 2.0524}, {contact.BoxWave(1.2), 0.3, 1.5313}, {contact.BoxWave(1.0), 0.5, 1.1820},
		{contact.BoxWave(0.6), 0.3, 0.9156},
		{contact.CylinderWave(0.3), 0.6, 0.8104}, {contact.CylinderWave(0.5), 1.0, 1.0462},
	} {
		c.Near(basin.period, 2*math.Pi/contact.Swing(basin.wave, basin.depth), "period of k %.4g 1/m, depth %g m",
			basin.wave, basin.depth)
	}
	for _, shallow := range []struct{ length, depth, merian float64 }{{1, 0.1, 2.0196}, {1.2, 0.3, 1.3992}, {1, 0.5,
		0.9032}, {0.6, 0.3, 0.6996}} {
		c.Near(shallow.merian, 2*shallow.length/math.Sqrt(9.80665*shallow.depth),
			"Merian's period, whose gravity is the same")
		assert.Less(t, shallow.merian, 2*math.Pi/contact.Swing(contact.BoxWave(shallow.length), shallow.depth),
			"deep water sloshes more slowly than Merian has it")
	}
}

func TestCrestOfAJet(t *testing.T) {
	const flow, speed, omega, damping, area = 5e-4, 4.4, 5.5, 0.01, 0.5
	a := contact.Crest(flow, speed, omega, damping, area)
	// By hand: 4.84 W of jet, 48.4 mW into the wave, which at 0.11 1/s holds 0.44 J; with 1225.8 J/m² for each m² of
	// a².
	assert.InDelta(t, math.Sqrt(0.44/1225.83), a, 1e-6)
	assert.InDelta(t, a/2, contact.Crest(flow/4, speed, omega, damping, area), 1e-9,
		"a quarter of the power, half the crest")
	assert.Zero(t, contact.Crest(0, speed, omega, damping, area), "nothing runs in, nothing sloshes")
}

// A wave is one course, however it is asked for, and its slope is that of its height.
func TestWaveIsAFunctionOfTime(t *testing.T) {
	var w contact.Wave
	assert.True(t, w.Still(0))
	w.Go(signal.Second, 0.02, 5.5, 0.01)
	for at := signal.Second; at < 100*signal.Second; at += 777 * signal.Millisecond {
		const dt = 1000
		rises := (w.Height(at+dt) - w.Height(at)) / (dt * 1e-9)
		require.InDelta(t, rises, w.Speed(at), 1e-5, "at %v", at)
		end := w.HalfWave(at)
		require.Greater(t, end, at)
		require.InDelta(t, 0, w.Height(end), 1e-8, "a half wave ends at the mean level")
	}
	grown := w.Crest(100 * signal.Second)
	assert.InDelta(t, 0.02*(1-math.Exp(-0.055*99)), grown, 1e-12)
	before, height := w.Speed(100*signal.Second), w.Height(100*signal.Second)
	w.Go(100*signal.Second, 0, 5.5, 0.01)
	assert.InDelta(t, height, w.Height(100*signal.Second), 1e-12, "the level jumps when the inlet shuts")
	assert.InDelta(t, before, w.Speed(100*signal.Second), 1e-2)
	assert.InDelta(t, grown*math.Exp(-0.055*30), w.Crest(130*signal.Second), 1e-12, "it dies away")
	assert.False(t, w.Still(130*signal.Second))
	assert.True(t, w.Still(300*signal.Second))
}
