package site_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/internal/probe"

	"ullage/fakes/accuracy"
	"ullage/harness"
	"ullage/harness/signal"
)

// wired is a tank with a float whose wires the test spoils, and coils beside it.
func wired(keys string) string {
	return `site: wired
supplies:
  - {name: mains, static: 4 bar, residual: 3 bar, at: 40 L/min}
valves:
  - {name: master, from: mains, capacity: 3 m3/h, opens: 100 ms, closes: 100 ms, pull-in: 8 V, drop-out: 3 V, coil: 35 ohm}
  - {name: sprays, from: master, capacity: 3 m3/h, opens: 100 ms, closes: 100 ms, pull-in: 8 V, drop-out: 3 V, coil: 47 ohm}
outlets:
  - {name: nozzles, from: sprays, flow: 2 L/min, at: 2 bar}
tanks:
  - {name: tank, length: 1 m, width: 500 mm, rim: 880 mm, starts: 600 mm}
contacts:
  - {name: high, in: tank, operates: 540 mm, releases: 535 mm, normally: open, lead: 2 ohm` + keys + `}
` + controllerOf([]string{"master", "sprays"}, []string{"high"})
}

// pin is the last pin that the terminal of a device was told.
func (r *rig) pin(device string) harness.Pin {
	for i := len(r.pins) - 1; i >= 0; i-- {
		if harness.Terminals(r.spec)[r.pins[i].Terminal].Name == device {
			return r.pins[i]
		}
	}
	require.Fail(r.t, "the site has recorded nothing of "+device)
	return harness.Pin{}
}

// reads is the voltage at the controller's input.
func (r *rig) reads(device string, kind harness.TerminalKind) float64 {
	return harness.InputOf(r.spec.Controller.Board, kind).Volts(r.pin(device), r.now)
}

// The coils' current lifts the return of a float wire: 12 V over driver, coil and the wire that they share, times that
// wire.
func TestSharedReturnIsLifted(t *testing.T) {
	row := accuracy.New(t, accuracy.Row{Computation: "return of a contact lifted by coils",
		Equation: "V = E R ΣG / (1 + R ΣG), G of each coil with its output; Millman's theorem at the input",
		Source:   "Ohm and Kirchhoff, by hand for one and two coils", Tolerance: 1e-9, Unit: "V"})
	lifts := func(ohms float64, coils ...float64) float64 { // Ohm and Kirchhoff: R ΣG / (1 + R ΣG) of 12 V
		sum := 0.0
		for _, coil := range coils {
			sum += 1 / (1 + coil)
		}
		return 12 * ohms * sum / (1 + ohms*sum)
	}
	for _, c := range []struct {
		keys, on string
		lifted   float64 // V
	}{
		{", return: {resistance: 2 ohm}", "", 0},
		{", return: {resistance: 2 ohm}", "master", lifts(2, 35)},
		{", return: {resistance: 2 ohm}", "both", lifts(2, 35, 47)},
		{", return: {resistance: 2 ohm, shared-with: [sprays]}", "both", lifts(2, 47)},
		{"", "both", 0},
	} {
		t.Run(fmt.Sprintf("%s with %s on", c.keys, c.on), func(t *testing.T) {
			r := open(t, read(t, stiff+wired(c.keys)))
			if c.on != "" {
				r.drive("master", true)
			}
			if c.on == "both" {
				r.drive("sprays", true)
			}
			pin := r.pin("high")
			row.Near(c.lifted, pin.Volts, "the return of the closed contact, %s with %s on", c.keys, c.on)
			ohms := 2.0
			if c.keys != "" {
				ohms = 4
			}
			row.Near((c.lifted/ohms+3.3/10e3)/(1/ohms+1/10e3), r.reads("high", harness.ContactTerminal),
				"at the input, with the pull-up")
			r.drive("master", false)
			r.drive("sprays", false)
			assert.InDelta(t, 0, r.pin("high").Volts, 1e-12, "without current it lies at ground")
		})
	}
	r := open(t, read(t, stiff+wired("")))
	r.drive("master", true)
	r.open("high", "return", 3)
	assert.InDelta(t, lifts(3, 35), r.pin("high").Volts, 1e-12, "the knob is such a wire")
	r.close("high", "return", 3)
	assert.Zero(t, r.pin("high").Volts)
	r.open("high", "return", 1000)
	assert.Less(t, r.pin("high").Volts, 12.0, "no wire is lifted above what drives the current")
	assert.Zero(t, r.last("master.coil"), "a coil that returns through 1 kohm has nothing left to pull in with")
}

// The return follows what the current does after the output has come on: a plunger that comes in, a motor at its end.
func TestLiftedReturnFollowsTheCurrent(t *testing.T) {
	const ohms = 2.0
	for _, c := range []struct {
		keys        string
		first, then float64 // Ω, impedance of the coil of 35 Ω
		after       signal.Time
	}{
		{"current: ac, inrush: 300 mA, holding: 240 mA, warms-to: 20 °C", 40, 50, signal.Second},
		{"drive: motorised", 35, math.Inf(1), signal.Minute},
	} {
		r := open(t, read(t, strings.Replace(stiff+wired(", return: {resistance: 2 ohm}"), "coil: 35 ohm",
			"coil: 35 ohm, "+c.keys, 1)))
		r.drive("master", true)
		lifts := func(impedance float64) float64 {
			return 12 * ohms / math.Hypot(1+35+ohms, math.Sqrt(impedance*impedance-35*35))
		}
		assert.InDelta(t, lifts(c.first), r.pin("high").Volts, 1e-12, "%s: as the output comes on", c.keys)
		r.run(c.after)
		assert.InDelta(t, lifts(c.then), r.pin("high").Volts, 1e-12, "%s: when it has moved", c.keys)
		r.open("master", "coil lead", 1e12)
		assert.Zero(t, r.pin("high").Volts, "%s: its lead breaks, and no current flows", c.keys)
	}
}

// What the contact's terminal is told goes with the supply that coils leave, not with the one before they came on.
func TestLiftedReturnOfAWeakSupply(t *testing.T) {
	r := open(
		t,
		read(
			t,
			"power: {internal-resistance: 4 ohm, controller-draws: 100 mA}\n"+wired(", return: {resistance: 5 ohm}"),
		),
	)
	told := len(r.pins)
	r.drive("master", true)
	const driven = (12 - 4*0.1) / (1 + 4/(1+35+5.0))
	for _, pin := range r.pins[told:] {
		if harness.Terminals(r.spec)[pin.Terminal].Name == "high" {
			assert.InDelta(t, driven*5/(1+35+5), pin.Volts, 1e-9, "the terminal gets a voltage that there never is")
		}
	}
	assert.InDelta(t, driven*5/(1+35+5), r.pin("high").Volts, 1e-9)
}

func TestSpoiltWiresOfAContact(t *testing.T) {
	const closed, opened = "600 mm", "500 mm"
	for _, c := range []struct {
		name, keys, level, knob string
		value, volts            float64
	}{
		{"sound and closed", "", closed, "", 0, 3.3 * 2 / 10002},
		{"sound and open", "", opened, "", 0, 3.3},
		{"oxidised connector", "", closed, "lead", 5e3, 3.3 * 5002 / 15002},
		{"broken lead", "", closed, "lead", 1e12, 3.3},
		{"wet connector by the site file", ", leak: 10 kohm", opened, "", 0, 3.3 * 10002 / 20002},
		{"wet connector by its knob", "", opened, "leak", 2e3, 3.3 * 2002 / 12002},
		{"both leaks side by side", ", leak: 10 kohm", opened, "leak", 10e3, 3.3 * 5002 / 15002},
		{"a leak across a closed contact", "", closed, "leak", 2e3, 3.3 * 2 / 10002},
		{"wires that touch", "", opened, "short", 1, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			spec := read(t, strings.ReplaceAll(wired(c.keys), "starts: 600 mm", "starts: "+c.level))
			r := open(t, spec)
			if c.knob != "" {
				r.open("high", c.knob, c.value)
			}
			assert.InDelta(t, c.volts, r.reads("high", harness.ContactTerminal), 1e-12)
			if c.knob != "" {
				r.close("high", c.knob, c.value)
				again := open(t, spec)
				assert.Equal(t, again.reads("high", harness.ContactTerminal), r.reads("high", harness.ContactTerminal),
					"let go it is as it was")
			}
		})
	}
}

// probed is a bed with a probe that stands in soil of 25 % water by volume.
func probed(t require.TestingT, keys string) string { return probedAt(keys, quarter(t)) }

// quarter is the mean water content of the bed, in per cent, with which there is a quarter of water at the probe.
var quarter = func() func(require.TestingT) float64 {
	found := 0.0
	return func(t require.TestingT) float64 {
		low, high := 20.0, 30.0
		for found == 0 {
			mean := (low + high) / 2
			switch at := open(t, read(t, probedAt(inVolts, mean))).last("probe.moisture"); {
			case high-low < 1e-9:
				found = mean
			case at < 0.25:
				low = mean
			default:
				high = mean
			}
		}
		return found
	}
}()

func probedAt(keys string, mean float64) string {
	return `site: probed
beds:
  - {name: bed, area: 12 m2, depth: 200 mm, texture: sandy loam, starts: ` + fmt.Sprintf("%.12f", mean) + ` %, evapotranspiration: 6 mm/day}
probes:
  - {name: probe, in: bed, ` + keys + `}
controller:
  supply: 12 V
  resets-below: 8 V
  boots: 1 s
  board: {rail: 3.3 V, pull-up: 10 kohm, low: 0.8 V, high: 2 V, bits: 12, impedance: 1 Mohm}
  terminals: [{terminal: AIN, analogue: probe}]
  settings: {clock: 'Monday 00:00'}
`
}

const (
	inVolts = "dry: {moisture: 5 %, volts: 2.3 V}, wet: {moisture: 45 %, volts: 1.1 V}"
	inAmps  = "dry: {moisture: 5 %, current: 4 mA}, wet: {moisture: 45 %, current: 20 mA}, output: 4-20 mA"
)

// What becomes of a probe and its lead, at 25 % water by volume: 1.7 V, or 12 mA over 150 ohm.
func TestProbeAtItsTerminal(t *testing.T) {
	const loaded = 1e6 / (1e6 + 1e3) // the input divides what comes from 1 kohm
	shunt := func(volts float64) float64 { return volts * 1e6 / (1e6 + 150) }
	for _, c := range []struct {
		name, keys, knob string
		value, volts     float64
	}{
		{"sound", inVolts, "", 0, 1.7 * loaded},
		{"corroded plug", inVolts, "lead", 50e3, 1.7 * 1000 / 1051},
		{"unplugged", inVolts, "lead", 1e12, 0},
		{"shorted to what feeds it", inVolts, "short", 1, 3.3},
		{"shorted to ground", inVolts, "short", -1, 0},
		{"drift", inVolts, "drift", 0.05, 1.55 * loaded},
		{"warm soil, without a coefficient", inVolts, "warmer", 10, 1.7 * loaded},
		{"warm soil", inVolts + ", per-kelvin: 0.3 %", "warmer", 10, (1.7 - 0.03*3) * loaded},
		{"soil of 30 °C", inVolts + ", per-kelvin: 0.3 %, temperature: 30 °C", "", 0, (1.7 - 0.03*3) * loaded},
		{"out of the soil", inVolts, "exposed", 1, (2.3 + (0.05+0.0243457)*3) * loaded},
		{"half out of the soil", inVolts, "exposed", 0.5, (1.7 + (0.25+0.0243457)/2*3) * loaded},
		{"half in water", inVolts, "flooded", 0.5, (2.3 - (0.25/2+probe.Water/2-0.05)*3) * loaded},
		{"in water, as far down as its output goes", inVolts, "flooded", 1, 0},
		{"the calibration of another soil", inVolts, "gain", 1.2, (2.3 - (0.25*1.2-0.05)*3) * loaded},
		{"dry and wet exchanged, at 35 % shown", inVolts + ", per-kelvin: 1 %, temperature: 30 °C", "swapped", 1,
			(1.1 + 0.30*3) * loaded},
		{"a loop", inAmps, "", 0, shunt(1.8)},
		{"a loop over 100 ohm", inAmps + ", shunt: 100 ohm", "", 0, 1.2 * 1e6 / (1e6 + 100)},
		{"a resistance in a loop", inAmps, "lead", 180, shunt(1.8)},
		{"more than the supply can drive through", inAmps, "lead", 1850, shunt(4.0 / 2000 * 150)},
		{"more than the supply can drive through, beside a modest transmitter", inAmps + ", needs: 2 V", "lead", 1850,
			shunt(10.0 / 2000 * 150)},
		{"a transmitter that needs more than there is", inAmps + ", needs: 13 V", "", 0, 0},
		{"an open loop", inAmps, "lead", 1e12, 0},
		{"its transmitter fails low", inAmps, "failing", -1, shunt(0.54)},
		{"its transmitter fails high", inAmps, "failing", 1, shunt(3.15)},
		{"over-range", inAmps, "drift", 0.5, shunt(3.075)},
		{"under-range", inAmps, "drift", -0.5, shunt(0.57)},
		{"a loop whose wires touch", inAmps, "short", 1, 12},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := open(t, read(t, probed(t, c.keys)))
			sound := r.reads("probe", harness.AnalogueTerminal)
			if c.knob != "" {
				r.open("probe", c.knob, c.value)
			}
			assert.InDelta(t, c.volts, r.reads("probe", harness.AnalogueTerminal), 1e-6)
			if c.knob != "" {
				r.close("probe", c.knob, c.value)
				assert.InDelta(t, sound, r.reads("probe", harness.AnalogueTerminal), 1e-9, "let go it is as it was")
			}
		})
	}
}

// A supply that still carries the controller may no longer carry the loop: at 9.2 V a transmitter that needs 8 V drives
// 8 mA through 150 ohm, and the soil looks dry.
func TestALoopStarvesBeforeItsController(t *testing.T) {
	r := open(t, read(t, "power: {internal-resistance: 2 ohm, controller-draws: 100 mA, capacitor: 4700 uF}\n"+probed(t,
		inAmps)))
	sound := r.reads("probe", harness.AnalogueTerminal)
	r.run(signal.Minute)
	r.open("power", "voltage factor", 9.4/12)
	assert.InDelta(t, sound, r.reads("probe", harness.AnalogueTerminal), 1e-3, "the capacitor still carries it")
	r.run(2 * signal.Minute)
	require.InDelta(t, 9.2, r.supply(), 2e-3)
	assert.InDelta(t, 1.2/150*150*1e6/(1e6+150), r.reads("probe", harness.AnalogueTerminal), 2e-3)
	r.close("power", "voltage factor", 9.4/12)
	r.run(3 * signal.Minute)
	assert.InDelta(t, sound, r.reads("probe", harness.AnalogueTerminal), 1e-3, "with the supply its current comes back")
}

func TestStuckProbeStays(t *testing.T) {
	r := open(t, read(t, probed(t, inVolts)))
	r.run(signal.Hour)
	before := r.reads("probe", harness.AnalogueTerminal)
	r.open("probe", "stuck", 1)
	r.run(12 * signal.Hour)
	assert.InDelta(t, before, r.reads("probe", harness.AnalogueTerminal), 1e-12,
		"eleven hours without rain, and it says the same")
	r.close("probe", "stuck", 1)
	assert.Greater(
		t,
		r.reads("probe", harness.AnalogueTerminal),
		before+0.02,
		"once released it shows how dry it has become",
	)
}

// On the curve of a soil the probe follows what it feels: the pin's straight lines keep to it.
func TestProbeOnACurve(t *testing.T) {
	for _, curve := range []string{"mineral", "organic"} {
		r := open(t, read(t, probed(t, inVolts+", curve: "+curve)))
		straight := open(t, read(t, probed(t, inVolts)))
		input := harness.InputOf(r.spec.Controller.Board, harness.AnalogueTerminal)
		first := input.Volts(r.pin("probe"), 0)
		last := first
		for hour := signal.Time(1); hour <= 24; hour++ {
			r.run(hour*signal.Hour - 1)
			end := input.Volts(r.pin("probe"), r.now)
			r.run(hour * signal.Hour)
			assert.InDelta(t, end, input.Volts(r.pin("probe"), r.now), 1e-4,
				"the voltage jumps from line to line by more than an eighth of a count")
			assert.GreaterOrEqual(t, end, last-2e-5, "soil that dries by day and rests by night, more volts")
			last = end
		}
		assert.Greater(t, last, first+0.01, "drier soil, more volts")
		straight.run(signal.Day)
		assert.Greater(t, math.Abs(last-straight.reads("probe", harness.AnalogueTerminal)), 0.01,
			"the %s curve is straight", curve)
	}
}

// Noise is a function of time: of its size, another value each second, none where it is zero.
func TestNoise(t *testing.T) {
	r := open(t, read(t, probed(t, inVolts+", noise: 5 mV")))
	calm := open(t, read(t, probed(t, inVolts)))
	squares, n := 0.0, 0
	for at := signal.Second / 2; at < 2000*signal.Second; at += signal.Second {
		r.run(at)
		calm.run(at)
		off := (r.reads("probe", harness.AnalogueTerminal) - calm.reads("probe",
			harness.AnalogueTerminal)) * 1001e3 / 1e6
		squares += off * off
		n++
	}
	assert.InDelta(t, 5e-3, math.Sqrt(squares/float64(n)), 0.3e-3, "rms of 2000 readings: three standard errors")
	assert.Less(t, len(calm.pins), 50, "a probe without noise sends something each second")
	calm.open("probe", "noise", 0.01)
	calm.run(calm.now + 10*signal.Second)
	noisy := len(calm.pins)
	calm.close("probe", "noise", 0.01)
	calm.run(calm.now + signal.Minute)
	assert.LessOrEqual(t, len(calm.pins), noisy+3, "the noise goes on after its fault")
}
