package site_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/harness"
	"ullage/harness/signal"
)

// plot is a mains with two valves that differ in what the test says of them, and a supply.
func plot(first, second, power string) string {
	return `site: plot
supplies:
  - {name: mains, static: 3 bar, residual: 2 bar, at: 30 L/min}
valves:
  - {name: one, from: mains, capacity: 2 m3/h, opens: 2 s, closes: 4 s, pull-in: 8 V, drop-out: 3 V, coil: 40 ohm` + first + `}
  - {name: two, from: mains, capacity: 2 m3/h, opens: 2 s, closes: 4 s, pull-in: 8 V, drop-out: 3 V, coil: 40 ohm` + second + `}
outlets:
  - {name: a, from: one, flow: 10 L/min, at: 2 bar}
  - {name: b, from: two, flow: 10 L/min, at: 2 bar}
` + power + controllerOf([]string{"one", "two"}, nil)
}

// put drives an output with a polarity, 0 for none, behind 0.2 Ω.
func (r *rig) put(device string, volts float64) {
	for i, t := range harness.Terminals(r.spec) {
		if t.Name == device && t.Kind == harness.OutputTerminal {
			pin := harness.Pin{At: r.now, Terminal: i, Volts: volts, Ohms: 0.2}
			if volts == 0 {
				pin = harness.Open(r.now, i)
			}
			r.advance(r.now, pin)
			return
		}
	}
	require.Fail(r.t, "no output "+device)
}

// supply is the voltage at the controller's power terminal at the present moment, as it was told.
func (r *rig) supply() float64 {
	power := len(harness.Terminals(r.spec)) - 1
	for i := len(r.pins) - 1; i >= 0; i-- {
		if r.pins[i].Terminal == power {
			return r.pins[i].VoltsAt(r.now)
		}
	}
	require.Fail(r.t, "the controller never got its supply")
	return 0
}

// What each coil leaves of a supply of 12 V behind 2 Ω for a controller that draws 100 mA, by Ohm's law.
func TestCoilsPullTheSupplyDown(t *testing.T) {
	r := open(t, read(t, plot(", "+cold, ", cable: {gauge: AWG 18, length: 50 m}, "+cold,
		"power: {internal-resistance: 2 ohm, controller-draws: 100 mA}\n")))
	volts := func(siemens float64) float64 { return (12 - 0.1*2) / (1 + 2*siemens) }
	one, two := 1/40.2, 1/(40.2+100*20.9477751e-3) // AWG 18 by handbook: 20.95 Ω/km
	for _, step := range []struct {
		device  string
		volts   float64
		siemens float64
	}{{"one", 12, one}, {"two", 12, one + two}, {"one", 0, two}, {"two", 0, 0}} {
		r.run(r.now + 10*signal.Second)
		r.put(step.device, step.volts)
		assert.InDelta(t, volts(step.siemens), r.supply(), 1e-6, "the supply after %s has been put to %g V",
			step.device, step.volts)
	}
	r.end()
	assert.InDelta(t, volts(one+two)*two, r.at("two.current", 25*signal.Second), 1e-6,
		"the current of the coil at the end of its cable")
	assert.InDelta(t, volts(one)*one, r.at("one.current", 15*signal.Second), 1e-6)
	assert.Zero(t, r.last("one.current"))
}

// A site file that says nothing of its supply has an adapter of 1 A, which gives 1.1 A at most, and a controller that
// draws 100 mA: coils that would take more share what is left, by Ohm's law.
func TestCoilsOnTheAssumedAdapter(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "voltage of an adapter with two coils on",
		Equation: "E, or (I max - I controller) / ΣG beyond its limit", Source: "Ohm, by hand", Tolerance: 1e-6})
	for _, k := range []struct {
		ohms      string
		one, both float64 // V
		energised float64
		resets    bool
	}{
		{"40 ohm", 12, 12, 1, false},
		{"20 ohm", 12, 20.2 / 2, 1, false},
		{"12 ohm", 12, 12.2 / 2, 0, true},
	} {
		r := open(t, read(t, strings.ReplaceAll(plot("", "", ""), "40 ohm", k.ohms)))
		r.put("one", 12)
		c.Near(k.one, r.supply(), "one coil of %s", k.ohms)
		r.put("two", 12)
		c.Near(k.both, r.supply(), "two coils of %s", k.ohms)
		assert.Equal(t, k.energised, r.last("two.coil"), "the second coil of %s has what it needs", k.ohms)
		assert.Equal(t, k.resets, r.supply() < r.spec.Controller.ResetsBelow.SI, "two coils of %s reset the controller", k.ohms)
		r.put("two", 0)
		c.Near(k.one, r.supply(), "one coil of %s again", k.ohms)
	}
}

// A transformer has its voltage at its rated current, and more without a load.
func TestCoilsOnTheAssumedTransformer(t *testing.T) {
	r := open(t, read(t, plot(", current: ac, inrush: 250 mA, holding: 125 mA", "", "")))
	ohms := 0.12 * 12 / 0.8
	assert.InDelta(t, 12*1.12-0.1*ohms, r.supply(), 1e-9, "with the controller alone")
}

// A capacitor behind an adapter that is overloaded falls along the exponential of C dV/dt = I max - I - G V.
func TestCapacitorBehindAnOverloadedAdapter(t *testing.T) {
	r := open(t, read(t, strings.ReplaceAll(plot("", "", "power: {rated: 500 mA, capacitor: 4700 uF}\n"),
		"40 ohm", "16 ohm")))
	r.put("one", 12)
	r.put("two", 12)
	g, spare := 2/16.2, 0.55-0.1
	start := 12 - 0.005
	bends := 12 - 0.05*0.55
	require.Greater(t, start, bends)
	r.run(100 * signal.Millisecond)
	assert.InDelta(t, spare/g+(bends-spare/g)*math.Exp(-0.1*g/4.7e-3), r.supply(), 0.02, "after 100 ms")
	r.run(10 * signal.Second)
	assert.InDelta(t, spare/g, r.supply(), 1e-3, "in the end")
}

// A capacitor carries the controller for C ΔV / I; coils empty it sooner, by the exponential.
func TestHoldUp(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "moment of a brown-out on the capacitor of an adapter",
		Equation: "C dV/dt = -I - G V, told in straight pieces",
		Source:   "C ΔV / I, and RC ln((V0 + I/G)/(V1 + I/G)), by hand", Tolerance: 1e-6})
	for _, k := range []struct {
		coils int
		want  float64
	}{
		{0, 4.7e-3 * (12 - 8) / 0.08},
		{2, 4.7e-3 / (2 / 40.2) * math.Log((12+0.08*40.2/2)/(8+0.08*40.2/2))},
	} {
		// resets below 8 V
		r := open(t, read(t, plot(", "+cold, ", "+cold,
			"power: {internal-resistance: 0 ohm, controller-draws: 80 mA, capacitor: 4700 uF}\n")))
		for _, name := range []string{"one", "two"}[:k.coils] {
			r.put(name, 12)
		}
		r.run(10 * signal.Second)
		r.open("power", "voltage factor", 0)
		for r.supply() >= 8 {
			r.run(r.now + 10*signal.Millisecond)
			require.Less(t, r.now, 12*signal.Second, "the supply never falls below 8 V")
		}
		low := r.now - 10*signal.Millisecond // the straight piece that crosses 8 V
		power := len(harness.Terminals(r.spec)) - 1
		crossed := signal.Time(0)
		for i, p := range r.pins {
			if p.Terminal != power || p.Slope >= 0 || p.VoltsAt(p.At) < 8 {
				continue
			}
			end := r.now
			for _, q := range r.pins[i+1:] {
				if q.Terminal == power {
					end = q.At
					break
				}
			}
			if p.VoltsAt(end) <= 8 {
				crossed = p.At + signal.FromSeconds((8-p.Volts)/p.Slope)
			}
		}
		require.Greater(t, crossed, low-20*signal.Millisecond)
		c.Near(k.want, (crossed - 10*signal.Second).Seconds(), "with %d coils", k.coils)
	}
}

// Each drive, told to open, without power, and told to shut; and the same with its leads swapped.
func TestDrivesWithAndWithoutPower(t *testing.T) {
	const spring, latching, motor, diode = "", ", drive: latching, pulse: 20 ms", ", drive: motorised",
		", diode: built-in"
	for _, k := range []struct {
		name, valve string
		swapped     bool
		// the disc: after opening, without power, with power again, after shutting
		opened, lost, returned, shuts float64
	}{
		{"spring-return", spring, false, 1, 0, 1, 0},
		{"spring-return, leads swapped", spring, true, 1, 0, 1, 0},
		{"latching", latching, false, 1, 1, 1, 0},
		{"latching, leads swapped", latching, true, 0, 0, 0, 1},
		{"motorised", motor, false, 1, 1, 1, 0},
		{"motorised, leads swapped", motor, true, 0, 0, 0, 1},
		{"spring-return with a diode", diode, false, 1, 0, 1, 0},
		{"spring-return with a diode, leads swapped", diode, true, 0, 0, 0, 0},
	} {
		for _, how := range []string{"wired", "fault"} {
			t.Run(k.name+" as "+how, func(t *testing.T) {
				valve := k.valve
				if k.swapped && how == "wired" {
					valve += ", leads: swapped"
				}
				r := open(t, read(t, plot(valve, "", "power: {internal-resistance: 1 ohm}\n")))
				if k.swapped && how == "fault" {
					r.open("one", "leads swapped", 1)
				}
				latched := strings.Contains(k.valve, "latching")
				command := func(volts float64) {
					r.put("one", volts)
					if latched {
						r.run(r.now + 50*signal.Millisecond)
						r.put("one", 0)
					}
					r.run(r.now + 20*signal.Second)
				}
				command(12)
				assert.Equal(t, k.opened, r.last("one.disc"), "after the command to open")
				r.open("power", "voltage factor", 0)
				r.run(r.now + 20*signal.Second)
				assert.Equal(t, k.lost, r.last("one.disc"), "without power")
				r.close("power", "voltage factor", 0)
				r.run(r.now + 20*signal.Second)
				assert.Equal(t, k.returned, r.last("one.disc"), "with the power back and the output as it was")
				if spring := !latched && !strings.Contains(k.valve, "motorised"); spring {
					command(0)
				} else {
					command(-12)
				}
				assert.Equal(t, k.shuts, r.last("one.disc"), "after the command to shut")
			})
		}
	}
}

func TestADiodeOnSwappedLeadsShortsTheSupply(t *testing.T) {
	r := open(t, read(t, plot(", diode: built-in, leads: swapped", "", "power: {internal-resistance: 1 ohm}\n")))
	r.put("two", 12)
	r.run(10 * signal.Second)
	r.put("one", 12)
	assert.Less(t, r.supply(), 3.0, "a short behind 1 Ω leaves nearly the whole supply")
	r.run(20 * signal.Second)
	assert.Zero(t, r.last("two.disc"), "no coil holds on what a short leaves")
	r.put("one", 0)
	r.run(30 * signal.Second)
	assert.Equal(t, 1.0, r.last("two.disc"), "with the short off, the other output is as it was")
}

// A motor turns in its time, stops half way without power, and draws nothing at its ends.
func TestMotorStopsWhereItIs(t *testing.T) {
	r := open(t, read(t, plot(", drive: motorised", "",
		"power: {internal-resistance: 1 ohm, controller-draws: 0 mA}\n")))
	r.put("one", 12)
	r.run(1 * signal.Second)
	assert.InDelta(t, 12/41.2, r.last("one.current"), 1e-3)
	r.put("one", 0)
	r.run(60 * signal.Second)
	assert.InDelta(t, 0.5, r.last("one.disc"), 1e-9, "half of a turn of 2 s")
	r.put("one", -12)
	r.run(61 * signal.Second)
	r.put("one", 0)
	r.put("one", -12)
	assert.InDelta(t, 0.25, r.last("one.disc"), 1e-9, "on its way back, a quarter of a turn of 4 s later")
	r.run(70 * signal.Second)
	assert.Zero(t, r.last("one.disc"))
	assert.Zero(t, r.last("one.current"), "the end switch cuts the motor off although the output is on")
	assert.Equal(t, 12.0, r.supply())
}

// A latch that needs 8 V for 20 ms, pulsed in ways that are not enough.
func TestLatchNeedsItsPulse(t *testing.T) {
	for _, k := range []struct {
		volts, slope float64
		length       signal.Time
		opens        bool
	}{{12, 0, 50 * signal.Millisecond, true}, {12, 0, 19 * signal.Millisecond, false}, {8, 0, 50 * signal.Millisecond,
		false}, {12, -150, 50 * signal.Millisecond, true}, {12, -250, 50 * signal.Millisecond, false}} {
		r := open(t, read(t, plot(", drive: latching, pulse: 20 ms", "", "")))
		r.advance(0, harness.Pin{Terminal: 0, Volts: k.volts, Slope: k.slope, Ohms: 0.2})
		r.run(k.length)
		r.put("one", 0)
		r.run(10 * signal.Second)
		assert.Equal(t, k.opens, r.last("one.disc") == 1, "%g V falling by %g V/s for %v", k.volts, -k.slope, k.length)
	}
}

// A pulse that is told in several lines is one pulse, and what counts is whether the coil has its 8 V after 20 ms.
func TestLatchFeelsTheCurveOfAPulse(t *testing.T) {
	for _, k := range []struct {
		tau   float64 // s
		opens bool
		// 12 V · 40/40.2 · exp(-0.02/tau) = 8 V at 0.0501 s
	}{{0.189, true}, {0.0525, true}, {0.0495, false}, {0.02, false}} {
		r := open(t, read(t, plot(", drive: latching, pulse: 20 ms", "", "")))
		at := func(seconds float64) float64 { return 12 * math.Exp(-seconds/k.tau) }
		for piece := range signal.Time(10) {
			began := float64(piece) * 5e-3
			r.run(piece * 5 * signal.Millisecond)
			r.advance(r.now, harness.Pin{At: r.now, Terminal: 0, Volts: at(began),
				Slope: (at(began+5e-3) - at(began)) / 5e-3, Ohms: 0.2})
		}
		r.run(50 * signal.Millisecond)
		r.put("one", 0)
		r.run(10 * signal.Second)
		assert.Equal(t, k.opens, r.last("one.disc") == 1, "a pulse that falls with a time constant of %g s", k.tau)
	}
}

// cold is a coil that stays at 20 °C.
const cold = "warms-to: 20 °C"

// stiff is a supply whose voltage no load lowers.
const stiff = "power: {internal-resistance: 0 ohm}\n"

// alternatingCoil makes of a coil of 40 Ω one whose impedance is 48 Ω with the plunger out and 96 Ω with it in.
const alternatingCoil = ", current: ac, inrush: 250 mA, holding: 125 mA, warms-to: 60 °C, warms-in: 10 min"

// resists is a coil of 40 Ω of copper at a temperature, and amps its current from 12 V behind the output's 0.2 Ω with a
// reactance, by Ohm's law with phasors.
func resists(celsius float64) float64 { return 40 * (1 + 0.00393*(celsius-20)) }
func amps(celsius, reactance float64) float64 {
	return 12 / math.Hypot(0.2+resists(celsius), reactance)
}

// warmed is the temperature of a coil of 40 Ω that ends 40 K above the air with a current, after so many seconds in
// which its current follows from its temperature: dT/dt = (Ta + 40 K I² R/(I0² R60) - T)/τ by Runge and Kutta's rule of
// order four.
func warmed(celsius, seconds, tau, rated float64, current func(celsius float64) float64) float64 {
	rate := func(x float64) float64 {
		share := current(x) / rated
		return (20 + 40*share*share*resists(x)/resists(60) - x) / tau
	}
	const steps = 2000
	h := seconds / steps
	for range steps {
		a := rate(celsius)
		b := rate(celsius + h/2*a)
		c := rate(celsius + h/2*b)
		celsius += h / 6 * (a + 2*b + 2*c + rate(celsius+h*c))
	}
	return celsius
}

// The plunger comes in after 20 ms and the current falls; with a jammed plunger it stays, and the coil warms up by what
// its copper makes of it.
func TestJammedPlungerStaysAtInrush(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "temperature of a coil at a site",
		Equation: "τ dT/dt = Ta + ΔT (I/I0)² R/R0 - T with R of copper and I = U/|R + jX|, told in straight pieces",
		Source:   "the same equation integrated by Runge and Kutta's rule of order four in 2000 steps", Tolerance: 1, Unit: "K"})
	r := open(t, read(t, plot(alternatingCoil, alternatingCoil, stiff)))
	r.open("one", "plunger jammed", 1)
	r.put("one", 12)
	r.put("two", 12)
	r.run(30 * signal.Minute)
	r.put("one", 0)
	r.put("two", 0)
	r.run(60 * signal.Minute)
	r.end()
	out, in := math.Sqrt(48*48-40*40), math.Sqrt(96*96-40*40)
	assert.InDelta(t, amps(20, out), r.at("two.current", 10*signal.Millisecond), 1e-6, "inrush")
	assert.InDelta(t, amps(20, in), r.at("two.current", signal.Second), 1e-6, "holding")
	assert.InDelta(t, amps(20, out), r.at("one.current", signal.Second), 1e-6,
		"a plunger that is out keeps the coil at its inrush current")
	assert.Zero(t, r.at("one.disc", 29*signal.Minute), "it does not lift")
	assert.Equal(t, 1.0, r.at("two.disc", 29*signal.Minute))
	held := func(x float64) float64 { return amps(x, in) }
	rushing := func(x float64) float64 { return amps(x, out) }
	hot := warmed(20, 1800, 600, 0.125, rushing)
	for minute := 1.0; minute <= 30; minute += 0.5 {
		at := signal.FromSeconds(minute * 60)
		c.Near(warmed(20, minute*60, 600, 0.125, held), r.at("two.temperature", at), "held for %g min", minute)
		c.Near(warmed(20, minute*60, 600, 0.125, rushing), r.at("one.temperature", at), "jammed for %g min", minute)
		c.Near(20+(hot-20)*math.Exp(-minute/10), r.at("one.temperature", at+30*signal.Minute), "off for %g min",
			minute)
	}
}

// A coil for direct current resists more when it is warm, and its current falls: after an hour by a seventh.
func TestACoilForDirectCurrentWarmsUp(t *testing.T) {
	current := accuracy.New(t, accuracy.Row{Computation: "current of a coil for direct current as it warms up",
		Equation: "I = U/(R20 (1 + 0.00393 (T - 20)) + r), told in straight pieces",
		Source:   "IEC 60028 for copper (from memory); the temperature integrated by Runge and Kutta's rule", Tolerance: 0.01})
	r := open(t, read(t, plot("", "", "power: {internal-resistance: 1 ohm, controller-draws: 0 mA}\n")))
	r.put("one", 12)
	through := func(x float64) float64 { return 12 / (1.2 + resists(x)) }
	for _, minute := range []signal.Time{1, 5, 15, 30, 60} {
		r.run(minute * signal.Minute)
		x := warmed(20, (minute*60).Seconds()*1e9, 900, 12/resists(60), through)
		current.Near(through(x), (12-r.supply())/1, "after %d min", minute)
	}
	warm := (12 - r.supply()) / 1
	assert.InDelta(t, 0.87, warm/through(20), 0.01, "the current of a warm coil against that of a cold one")
	r.end()
	assert.InDelta(t, warm, r.last("one.current"), 0.01*warm, "its record")
	assert.InDelta(t, 58, r.last("one.temperature"), 1.5, "1 Ω of the supply keeps it below its 60 °C")
}

// What pulls in is a current: a warm coil needs more volts than a cold one.
func TestAWarmCoilNeedsMoreVolts(t *testing.T) {
	pulls := func(warm bool, factor float64) bool {
		r := open(t, read(t, plot("", "", stiff)))
		if warm {
			r.put("one", 12)
			r.run(signal.Hour)
			r.put("one", 0)
			r.run(r.now + signal.Second)
		}
		r.open("power", "voltage factor", factor)
		r.put("one", 12*factor)
		return r.last("one.coil") == 1
	}
	assert.True(t, pulls(false, 0.68), "8.16 V lift a coil of 8 V, cold")
	assert.False(t, pulls(true, 0.68), "and not when it is warm")
	assert.True(t, pulls(true, 0.8), "9.6 V lift it warm as well")
}

// Currents and voltages of coils for 24 V of alternating current at the end of a cable and behind a transformer, with
// phasors by hand.
func TestAlternatingCurrentByHand(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "coils for 24 V of alternating current: currents, voltages",
		Equation: "I = U/|R + r + jX|, X² = (U/I)² - R²; E² = |V + Rs I|²", Source: "Ohm and Kirchhoff with complex numbers, in the test",
		Tolerance: 1e-6})
	for _, k := range []struct {
		ohms, inrush, holding, metres, source float64
	}{{30, 0.41, 0.23, 20, 2.5}, {24, 0.4, 0.2, 200, 0}, {58, 0.4, 0.2, 60, 4}} {
		coil := fmt.Sprintf(", current: ac, inrush: %g A, holding: %g A, cable: {gauge: AWG 18, length: %g m}, %s",
			k.inrush, k.holding, k.metres, cold)
		text := strings.ReplaceAll(plot(coil, coil, fmt.Sprintf(
			"power: {internal-resistance: %g ohm, controller-draws: 90 mA}\n", k.source)), "supply: 12 V", "supply: 24 V")
		r := open(t, read(t, strings.ReplaceAll(text, "coil: 40 ohm", fmt.Sprintf("coil: %g ohm", k.ohms))))
		cable := 2 * k.metres * 20.9477751e-3
		branch := func(amps float64) complex128 {
			return complex(0.2+cable+k.ohms, math.Sqrt(24/amps*24/amps-k.ohms*k.ohms))
		}
		// the voltage V, taken as real, that a load Y and a constant 90 mA leave of the source
		left := func(y complex128) float64 {
			low, high := 0.0, 24.0
			for range 200 {
				v := (low + high) / 2
				if cmplx.Abs(complex(v, 0)+complex(k.source, 0)*(complex(v, 0)*y+0.09)) < 24 {
					low = v
				} else {
					high = v
				}
			}
			return low
		}
		r.put("one", 24)
		rush := 1 / branch(k.inrush)
		c.Near(left(rush), r.supply(), "at inrush, %g Ω", k.ohms)
		r.run(signal.Second)
		hold := 1 / branch(k.holding)
		c.Near(left(hold), r.supply(), "held, %g Ω", k.ohms)
		r.put("two", 24)
		c.Near(left(hold+rush), r.supply(), "one held, one at inrush, %g Ω", k.ohms)
		r.run(2 * signal.Second)
		c.Near(left(2*hold), r.supply(), "both held, %g Ω", k.ohms)
		r.end()
		c.Near(left(rush)*cmplx.Abs(rush), r.at("one.current", 10*signal.Millisecond), "current at inrush, %g Ω", k.ohms)
	}
}

// A short carries the current past the winding: the coil cools down, however much flows.
func TestAShortedCoilDoesNotWarmUp(t *testing.T) {
	r := open(t, read(t, plot(alternatingCoil+", cable: {gauge: AWG 22, length: 300 m}", "", "")))
	r.put("one", 12)
	r.run(20 * signal.Minute)
	warm := r.last("one.temperature")
	require.Greater(t, warm, 24.0)
	r.open("one", "coil short", 1)
	require.Greater(t, r.last("one.current"), 0.3, "the short draws more than the coil")
	r.run(80 * signal.Minute)
	r.end()
	assert.InDelta(t, 20, r.last("one.temperature"), 0.1, "a shorted coil warms up by what flows past it")
}

// The charge that is missing in a battery is the current times the time.
func TestBatteryLosesWhatIsDrawn(t *testing.T) {
	r := open(t, read(t, plot("", "",
		"power: {internal-resistance: 1 ohm, controller-draws: 50 mA, battery: {capacity: 1 Ah, flat: 9 V}}\n")))
	r.run(4 * signal.Hour)
	before := r.supply()
	r.put("one", 12)
	r.run(5 * signal.Hour)
	r.put("one", 0)
	r.run(6 * signal.Hour)
	r.end()
	assert.InDelta(t, 0.8, r.at("power.charge", 4*signal.Hour), 1e-9, "four hours at 50 mA are 200 mAh")
	assert.InDelta(t, 9+3*0.8-0.05/0.8, before, 1e-5, "open-circuit voltage and resistance at 80 %")
	coil := r.at("power.charge", 4*signal.Hour) - r.at("power.charge", 5*signal.Hour) - 0.05
	assert.InDelta(t, 0.25, coil, 0.03, "an hour of about 11 V over 40 Ω")
	assert.InDelta(t, r.at("power.charge", 5*signal.Hour)-0.05, r.last("power.charge"), 1e-9)
	r = open(t, read(t, plot("", "",
		"power: {internal-resistance: 1 ohm, controller-draws: 50 mA, battery: {capacity: 10 mAh, flat: 9 V}}\n")))
	r.run(24 * signal.Hour)
	assert.Less(t, len(r.pins), 500, "a battery that is flat is worked out over and over")
	assert.Zero(t, r.supply(), "1000 Ω of a flat battery carry nothing")
	r.end()
	assert.Less(t, r.last("power.charge"), 0.01)
	r = open(t, read(t, plot("", "", "power: {internal-resistance: 1 ohm, controller-draws: 0 mA, battery: {capacity: 1 Ah, flat: 9 V}}\n")))
	r.open("power", "charge", 0.1)
	assert.InDelta(t, 9.3, r.supply(), 1e-9, "a battery with a tenth of its charge left")
}

// The coils of the sites that are shipped are usual ones. The ranges are trade data, from memory: 24 V coils for
// alternating current take 0.25 to 0.5 A of inrush and 0.15 to 0.3 A while held, and 12 V ones 0.25 to 0.7 A; latching
// coils take pulses of 1 to 3 A for 20 to 100 ms.
func TestTheCoilsOfTheSitesAreUsual(t *testing.T) {
	within := func(low, value, high float64, what string) {
		assert.True(t, value >= low && value <= high, "%s is %g, usual are %g to %g", what, value, low, high)
	}
	for _, name := range shippedSites {
		spec := shipped(t, name)
		volts := spec.Controller.Supply.SI
		for _, v := range spec.Valves {
			what := name + ": " + v.Name
			switch {
			case v.Current == "ac":
				within(0.25, v.Inrush.SI, 0.5, what+" inrush")
				within(0.15, v.Holding.SI, 0.3, what+" holding")
			case v.Drive == "latching":
				within(1, volts/v.Coil.SI, 3, what+" pulse")
				within(20e-3, spec.Controller.Drivers.Pulse.SI, 100e-3, name+": pulses")
			case v.Drive == "motorised":
				within(5, v.Opens.SI, 15, what+" turn")
			default:
				within(0.25, volts/v.Coil.SI, 0.7, what+" current")
			}
		}
	}
}
