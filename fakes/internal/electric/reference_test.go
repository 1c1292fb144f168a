package electric_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/electric"
)

// kft is 1000 ft in m.
const kft = 304.8

func TestGaugeDiameters(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "wire gauge: diameter", Equation: "d = 0.127 mm · 92^((36 - n)/39)",
		Source: "ASTM B258, worked out apart from this program; from memory", Tolerance: 1e-6})
	for number, mm := range map[int]float64{10: 2.58818673, 12: 2.05252539, 14: 1.62772663, 16: 1.29084591,
		18: 1.02368734, 20: 0.81182097, 22: 0.643803298} {
		c.Near(mm, 2e3*math.Sqrt(electric.GaugeArea(number)/math.Pi), "the diameter of AWG %d in mm", number)
	}
}

func TestGaugeResistances(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "wire gauge: resistance at 20 °C",
		Equation: "R = ρ L / A, ρ = 1.7241e-8 Ω m",
		Source:   "Floyd, Electric Circuit Fundamentals, 2nd ed., table of ohms per 1000 ft, as HyperPhysics gives it; verified there", Tolerance: 1e-3})
	for number, ohms := range map[int]float64{10: 0.9989, 12: 1.588, 14: 2.525, 16: 4.016, 18: 6.385, 20: 10.15,
		22: 16.14} {
		c.Near(ohms, electric.CableResistance(electric.GaugeArea(number), kft, 20), "1000 ft of AWG %d", number)
	}
}

func TestVoltageDrops(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "voltage drop of a cable",
		Equation:  "ΔV = 2 L I R; R = R20 (1 + 0.00393 (t - 20))",
		Source:    "Ohm; copper by IEC 60028 (from memory); cases VD1 to VD8 worked out apart from this program",
		Tolerance: 1e-6})
	for _, v := range []struct {
		what         string
		gauge        int
		metres, amps float64
		volts        float64
	}{
		{"a 24 V coil holding", 18, 100, 0.23, 0.963597656},
		{"a 24 V coil at inrush", 18, 100, 0.41, 1.71771756},
		{"a 24 V coil at inrush, far away", 18, 300, 0.41, 5.15315268},
		{"two 24 V coils holding on a shared common", 14, 300, 0.46, 2.28675013},
		{"a 12 V coil holding", 18, 50, 0.5, 1.04738876},
		{"a 12 V coil holding, far away", 16, 100, 0.5, 1.31741853},
		{"a pulse to a latching coil", 18, 30, 2, 2.51373302},
	} {
		c.Near(v.volts, 2*v.amps*electric.CableResistance(electric.GaugeArea(v.gauge), v.metres, 20), "%s", v.what)
	}
	c.Near(1.09825, electric.CableResistance(1e-6, 1, 45)/electric.CableResistance(1e-6, 1, 20),
		"copper at 45 °C against 20 °C")
}

// rk4 integrates dx/dt = f(x) in many small steps, which knows nothing of exponentials.
func rk4(x, seconds float64, f func(float64) float64) float64 {
	const steps = 20000
	h := seconds / steps
	for range steps {
		a := f(x)
		b := f(x + h/2*a)
		c := f(x + h/2*b)
		d := f(x + h*c)
		x += h / 6 * (a + 2*b + 2*c + d)
	}
	return x
}

func TestCapacitorAgainstIntegration(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "capacitor behind a rectifier, loaded",
		Equation: "C dV/dt = (E - V)/R - I - G V, closed form by pieces",
		Source:   "the same equation integrated by Runge and Kutta's rule of order four in 20,000 steps; hold-up C ΔV/I by hand", Tolerance: 1e-9})
	const farads = 2.2e-3
	for _, k := range []struct {
		what    string
		source  electric.Source
		load    electric.Load
		volts   float64
		seconds float64
	}{
		{"hold-up into coils and a controller", electric.Source{}, electric.Load{Amps: 0.08, Siemens: 1.0 / 36}, 12,
			0.03},
		{"charging through 3 Ω under load", electric.Source{EMF: 12, Ohms: 3}, electric.Load{Amps: 0.08,
			Siemens: 1.0 / 36}, 4, 0.01},
		{"sagging to a source that has become weak", electric.Source{EMF: 9, Ohms: 5}, electric.Load{Amps: 0.3,
			Siemens: 1.0 / 20}, 9, 0.02},
	} {
		course := k.source.Buffered(farads, k.volts, k.load)
		want := rk4(k.volts, k.seconds, func(v float64) float64 {
			i := -k.load.Amps - k.load.Siemens*v
			if k.source.Ohms > 0 && v <= k.source.EMF {
				i += (k.source.EMF - v) / k.source.Ohms
			}
			return i / farads
		})
		got := course.At(k.seconds)
		c.Near(want, got, "%s", k.what)
		c.Near(k.seconds, course.Reaches(got), "%s: the time to that voltage", k.what)
	}
	// 4700 µF from 12 V to 8.5 V at 80 mA: 4.7e-3 · 3.5 / 0.08 s.
	c.Near(0.205625, electric.Source{}.Buffered(4.7e-3, 12, electric.Load{Amps: 0.08}).Reaches(8.5),
		"hold-up at a constant current")
	// 1000 µF into 100 Ω from 10 V to 10/e V: RC.
	c.Near(0.1, electric.Source{}.Buffered(1e-3, 10, electric.Load{Siemens: 0.01}).Reaches(10/math.E),
		"hold-up into a resistor")
}

func TestHeatAgainstIntegration(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "temperature of a coil",
		Equation: "τ dT/dt = Ta + ΔT (I/I0)² R/R0 - T, closed form; R of copper where it begins",
		Source:   "the same equation integrated by Runge and Kutta's rule of order four in 20,000 steps; 63.2 % after one time constant", Tolerance: 1e-9})
	h := electric.Heat{Around: 20, Excess: 45, Amps: 0.23, Tau: 900}
	for _, k := range []struct{ from, amps, seconds float64 }{{20, 0.23, 900}, {20, 0.41, 900}, {20, 0.41, 14400}, {150,
		0, 1200}, {65, 0.37, 60}} {
		ends := 20 + 45*(k.amps/0.23)*(k.amps/0.23)*electric.Warm(k.from)/electric.Warm(65)
		c.Near(rk4(k.from, k.seconds, func(x float64) float64 { return (ends - x) / 900 }), h.Course(k.from,
			k.amps).At(k.seconds),
			"from %g °C with %g A for %g s", k.from, k.amps, k.seconds)
	}
	from65 := 20 + 45*(1-1/math.E) + 45/math.E // it stays at its end
	c.Near(from65, h.Course(65, 0.23).At(900), "after one time constant at the end")
}

// The voltage under a load, by Kirchhoff's laws: what the source loses inside, and what the load takes, are one
// current.
func TestLoadedSource(t *testing.T) {
	for _, k := range []struct {
		source electric.Source
		load   electric.Load
	}{
		{electric.Source{EMF: 24, Ohms: 2.5}, electric.Load{Amps: 0.09, Siemens: 1 / 58.5}},
		{electric.Source{EMF: 9, Ohms: 10}, electric.Load{Amps: 0.04}},
		{electric.Source{EMF: 12, Ohms: 0.5}, electric.Load{Siemens: 20}},
	} {
		v := k.source.Loaded(k.load)
		assert.InDelta(t, (k.source.EMF-v)/k.source.Ohms, k.load.Draws(v), 1e-12, "the currents differ at %g V", v)
	}
	assert.Equal(t, 12.0, electric.Source{EMF: 12}.Loaded(electric.Load{Amps: 5, Siemens: 1}),
		"nothing pulls a source without resistance down")
	assert.Zero(t, electric.Source{EMF: 3, Ohms: 100}.Loaded(electric.Load{Amps: 0.05}),
		"a source that cannot feed the controller is worth nothing to it")
}

// The ends of a battery's life: its open-circuit voltage and its resistance, and in between a voltage that only falls.
func TestBatteryFalls(t *testing.T) {
	b := electric.Battery{Capacity: 7200, Full: 9.3, Flat: 5.4, Ohms: 2}
	assert.Equal(t, electric.Source{EMF: 9.3, Ohms: 2}, b.With(1))
	assert.InDelta(t, 7.35, b.With(0.5).EMF, 1e-12)
	assert.InDelta(t, 4, b.With(0.5).Ohms, 1e-12, "half of the charge, twice the resistance")
	assert.Equal(t, b.With(0), b.With(-1), "no battery has less than nothing")
	before := math.Inf(1)
	for left := 1.0; left >= 0; left -= 0.01 {
		v := b.With(left).Loaded(electric.Load{Amps: 0.04, Siemens: 0.01})
		require.Less(t, v, before, "the voltage does not fall with the charge at %g", left)
		before = v
	}
}

// A straight piece must keep to the curve, and thresholds must be met where it crosses them.
func TestStraightPiecesKeepToTheCurve(t *testing.T) {
	f := electric.FirstOrder{X0: 12, A: -36, B: 13}
	for x, at := f, 0.0; !x.Settled(0.01); {
		dt := x.Straight(0.01)
		end := x.At(dt)
		for s := 0.0; s <= 1; s += 0.1 {
			require.InDelta(t, f.At(at+s*dt), x.X0+(end-x.X0)*s, 0.0101, "the chord leaves the curve at %g s", at+s*dt)
		}
		x.X0, at = end, at+dt
	}
	assert.InDelta(t, 8.5, f.At(f.Reaches(8.5)), 1e-12)
	assert.Equal(t, math.Inf(1), f.Reaches(13), "it falls and never comes to more")
	assert.Equal(t, math.Inf(1), f.Reaches(f.Ends()-1), "nor below its end")
	assert.Equal(t, 0.0, f.Reaches(12))
	assert.InDelta(t, 2, electric.FirstOrder{X0: 1, A: 3}.Reaches(7), 1e-12, "a straight line")
	assert.Equal(t, math.Inf(1), electric.FirstOrder{X0: 1}.Straight(0.1), "what stands is straight for ever")
}
