package probe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/probe"
	"ullage/harness"
	"ullage/harness/signal"
)

func TestToppCurve(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "permittivity of mineral soil",
		Equation: "theta = -0.053 + 0.0292 e - 5.5e-4 e^2 + 4.3e-6 e^3, and solved for e",
		Source:   "Topp, Davis and Annan 1980 (coefficients from memory, the same in public code); water contents recomputed", Tolerance: 6e-5, Unit: "m3/m3"})
	for e, water := range map[float64]float64{3: 0.0298, 5: 0.0798, 10: 0.1883, 20: 0.3454, 30: 0.4441, 40: 0.5102} {
		c.Near(water, probe.ToppWater(e), "water content at a permittivity of %g", e)
		c.Near(water, probe.ToppWater(probe.ToppPermittivity(water)), "there and back")
	}
	for water := -0.02; water < 0.95; water += 0.01 {
		e := probe.ToppPermittivity(water)
		require.InDelta(t, water, probe.ToppWater(e), 1e-10, "%g by volume", water)
		require.Greater(t, probe.ToppPermittivity(water+0.01), e, "wetter soil has a higher permittivity")
	}
	assert.Equal(t, 1.0, probe.ToppPermittivity(-0.5), "nothing has less than air")
}

func TestOrganicCurve(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "permittivity of organic soil",
		Equation: "theta = (0.133 sqrt(e) - 0.146)^0.885, solved for e",
		Source:   "Schaap, de Lange and Heimovaara 1997, formula as in public code that cites it, the paper not at hand; water contents recomputed", Tolerance: 1e-6, Unit: "m3/m3"})
	for _, water := range []float64{0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8} {
		e := probe.SchaapPermittivity(water)
		c.Near(water, math.Pow(0.133*math.Sqrt(e)-0.146, 0.885), "water content at a permittivity of %.4g", e)
		assert.Less(t, e, probe.ToppPermittivity(water)+0.5,
			"peat with as much water has no higher permittivity than mineral soil")
	}
	assert.InDelta(t, 0.146*0.146/0.133/0.133, probe.SchaapPermittivity(-1), 1e-12, "dry peat is the driest it can be")
}

// Two points fix a calibration; between them a curve that is not straight reads otherwise than a straight one.
func TestTwoPointCalibration(t *testing.T) {
	for _, curve := range []probe.Curve{probe.Linear, probe.Mineral, probe.Organic} {
		c := probe.NewCalibration(curve, 0.05, 2.3, 0.45, 1.1)
		assert.InDelta(t, 2.3, c.Output(0.05), 1e-12)
		assert.InDelta(t, 1.1, c.Output(0.45), 1e-12)
		for water := 0.02; water < 0.5; water += 0.03 {
			require.InDelta(t, (c.Output(water+1e-6)-c.Output(water-1e-6))/2e-6, c.Rise(water), 1e-4,
				"slope of curve %d at %g", curve, water)
		}
	}
	straight, mineral := probe.NewCalibration(probe.Linear, 0.05, 2.3, 0.45, 1.1), probe.NewCalibration(probe.Mineral,
		0.05, 2.3, 0.45, 1.1)
	assert.InDelta(t, 1.7, straight.Output(0.25), 1e-12)
	assert.Greater(t, mineral.Output(0.25), 1.75,
		"taken for straight, a probe in mineral soil reads too dry in the middle")
}

func TestNE43(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "limits of a 4-20 mA loop", Equation: "V = I R over the shunt",
		Source: "NAMUR NE 43: 3.6, 3.8, 20.5 and 21 mA, verified in three secondary sources; volts over 250 and 150 ohm recomputed", Tolerance: 1e-6, Unit: "V"})
	amps := []float64{probe.NE43.FailureLow, probe.NE43.Least, 4e-3, 20e-3, probe.NE43.Most, probe.NE43.FailureHigh}
	for i, volts := range []float64{0.900, 0.950, 1.000, 5.000, 5.125, 5.250} {
		c.Near(volts, amps[i]*250, "%.4g A over 250 ohm", amps[i])
	}
	for i, volts := range []float64{0.540, 0.570, 0.600, 3.000, 3.075, 3.150} {
		c.Near(volts, amps[i]*150, "%.4g A over 150 ohm", amps[i])
	}
	assert.Equal(t, 3.8e-3, probe.NE43.Saturates(1e-3), "a transmitter that measures does not report a failure")
	assert.Equal(t, 20.5e-3, probe.NE43.Saturates(30e-3))
	assert.Equal(t, 12e-3, probe.Drives(12e-3, 12, 8, 150))
	assert.InDelta(t, 12.0/5150, probe.Drives(12e-3, 12, 0, 5150), 1e-12,
		"a supply of 12 V drives no more through 5 kohm")
	assert.InDelta(t, 4.0/500, probe.Drives(12e-3, 12, 8, 500), 1e-12, "and 4 V of it when the transmitter needs 8")
	assert.Zero(t, probe.Drives(12e-3, 7.9, 8, 150), "a transmitter that is starved drives nothing")
	assert.Equal(t, 12e-3, probe.Drives(12e-3, 12, 8, 0), "no resistance, no limit")
}

// A lead that lies open beside a mains cable: the coupled current over the impedance of the input, and next to nothing
// when the probe is plugged in.
func TestFloatingLeadPicksUpHum(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "floating lead beside mains",
		Equation: "I = 2 pi f C V; V = I (source || pull-up || leak) sin(2 pi f t)",
		Source:   "circuit theory, by hand: 50 pF, 230 V, 50 Hz make 5.109 µA; capacitance a metre is common practice, no source", Tolerance: 1e-4})
	hum := probe.Hum(1, 230, 50)
	c.Near(5.10925e-6, hum, "current into a lead that lies beside a cable for 1 m")
	input := harness.Input{Rail: 3.3, PullUp: math.Inf(1), Leak: 1e6, Bits: 12}
	open := harness.Open(0, 0)
	open.Hum, open.HumHertz = hum, 50
	plugged := harness.Pin{Volts: 2, Ohms: 1e3, Hum: hum, HumHertz: 50}
	for _, s := range []struct {
		at    signal.Time
		share float64 // of the amplitude
	}{{5 * signal.Millisecond, 1}, {15 * signal.Millisecond, -1}, {signal.Second / 600, 0.5},
		{signal.Day + 5*signal.Millisecond, 1}} {
		c.Near(5.10925*s.share, input.Volts(open, s.at), "open lead at %v", s.at)
		c.Near(2*1000.0/1001+5.10925e-6*s.share*1e9/1001e3, input.Volts(plugged, s.at), "plugged in at %v", s.at)
	}
	assert.InDelta(t, 0, input.Volts(open, 10*signal.Millisecond), 1e-9, "zero between its half waves")
	assert.Equal(t, 4095, input.Counts(open, 5*signal.Millisecond), "beyond the rail the converter is at full scale")
	assert.Equal(t, 0, input.Counts(open, 15*signal.Millisecond), "and below ground at zero")
	pulledUp := harness.Input{Rail: 3.3, PullUp: 10e3, Leak: math.Inf(1)}
	assert.InDelta(t, 3.3+5.10925e-2, pulledUp.Volts(open, 5*signal.Millisecond), 1e-6, "a pull-up holds the wire")
	assert.Equal(t, 2.0, input.Volts(harness.Pin{Volts: 2, Hum: hum, HumHertz: 50}, 5*signal.Millisecond),
		"a stiff source shows nothing of it")
}
