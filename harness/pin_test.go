package harness_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

var digital = harness.Input{Rail: 3.3, PullUp: 10e3, Leak: math.Inf(1), Low: 0.8, High: 2, Bits: 12}

// The divider of pull-up and wiring, by hand.
func TestInputVolts(t *testing.T) {
	analogue := harness.Input{Rail: 3.3, PullUp: math.Inf(1), Leak: 1e6, Bits: 12}
	for _, c := range []struct {
		name string
		in   harness.Input
		pin  harness.Pin
		want float64
	}{
		{"open contact: the rail", digital, harness.Pin{Ohms: math.Inf(1)}, 3.3},
		{"closed contact: ground", digital, harness.Pin{Ohms: 0}, 0},
		{"corroded contact: 3.3 V x 5/15", digital, harness.Pin{Ohms: 5e3}, 1.1},
		{"probe of 1 kohm into 1 Mohm: 2 V x 1000/1001", analogue, harness.Pin{Volts: 2, Ohms: 1e3}, 2 * 1000.0 / 1001},
		{"corroded plug: 2 V x 1000/1051", analogue, harness.Pin{Volts: 2, Ohms: 51e3}, 2 * 1000.0 / 1051},
		{"unplugged: ground through the leak", analogue, harness.Pin{Ohms: math.Inf(1)}, 0},
		{"nothing anywhere", harness.Input{PullUp: math.Inf(1), Leak: math.Inf(1)}, harness.Pin{Ohms: math.Inf(1)}, 0},
		{"a stiff source", digital, harness.Pin{Volts: 2.5}, 2.5},
	} {
		assert.InDelta(t, c.want, c.in.Volts(c.pin, 0), 1e-12, c.name)
	}
	rising := harness.Pin{At: 10 * signal.Second, Volts: 1, Slope: 0.25}
	assert.Equal(t, 1.5, digital.Volts(rising, 12*signal.Second), "a voltage that rises by 0.25 V/s for 2 s")
}

func TestInputHasHysteresis(t *testing.T) {
	volts := func(v float64) harness.Pin { return harness.Pin{Volts: v} }
	for _, c := range []struct {
		v         float64
		was, want bool
	}{{0.79, true, false}, {0.8, true, true}, {0.8, false, false}, {1.5, true, true}, {1.5, false, false}, {2, false,
		false}, {2.01, false, true}} {
		assert.Equal(t, c.want, digital.IsHigh(volts(c.v), 0, c.was), "%g V, and it was %v", c.v, c.was)
	}
}

func TestCounts(t *testing.T) {
	for volts, want := range map[float64]int{-1: 0, 0: 0, 3.3: 4095, 5: 4095, 3.3 * 2854 / 4095: 2854,
		3.3 * 2854.49 / 4095: 2854, 3.3 * 2854.51 / 4095: 2855} {
		assert.Equal(t, want, digital.Counts(harness.Pin{Volts: volts}, 0), "%g V of 3.3 V with 12 bits", volts)
	}
	// A probe in air and in water, as its data sheet has it for 10 bits, on finer converters of the same span.
	for bits, want := range map[int][2]int{10: {520, 260}, 12: {2082, 1041}, 14: {8328, 4164}, 16: {33312, 16656}} {
		in := digital
		in.Bits = bits
		for i, count := range []float64{520, 260} {
			assert.InDelta(t, want[i], in.Counts(harness.Pin{Volts: 3.3 * count / 1023}, 0), 1,
				"%g of 1023 with %d bits", count, bits)
		}
	}
}

// Draws have no state: what one device draws does not depend on what any other has drawn, and they fill the range
// evenly.
func TestDrawsHaveNoState(t *testing.T) {
	d := harness.NewDraw(7, "storm")
	first := d.Uniform("tank-high", "bounce", 3)
	for i := range uint64(50) {
		d.Uniform("tank-low", "bounce", i)
	}
	assert.Equal(t, first, d.Uniform("tank-high", "bounce", 3), "a draw depends on what was drawn before")
	assert.Equal(t, first, harness.NewDraw(7, "storm").Uniform("tank-high", "bounce", 3))
	for name, other := range map[string]float64{
		"seed": harness.NewDraw(8, "storm").Uniform("tank-high", "bounce", 3), "scenario": harness.NewDraw(7,
			"calm").Uniform("tank-high", "bounce", 3),
		"device": d.Uniform("tank-low", "bounce", 3), "purpose": d.Uniform("tank-high", "jitter",
			3), "ordinal": d.Uniform("tank-high", "bounce", 4),
	} {
		assert.NotEqual(t, first, other, "another %s must give another number", name)
	}
	rapid.Check(t, func(t *rapid.T) {
		d := harness.NewDraw(rapid.Uint64().Draw(t, "seed"), rapid.String().Draw(t, "scenario"))
		sum := 0.0
		for i := range uint64(1000) {
			v := d.Uniform("device", "purpose", i)
			assert.True(t, v >= 0 && v < 1, "%g is outside of [0, 1)", v)
			sum += v
		}
		assert.InDelta(t, 500, sum, 60, "the mean of a thousand draws is six standard errors off one half")
	})
}

func TestTerminalsOfASite(t *testing.T) {
	site := &sitefile.Site{Contacts: []sitefile.Contact{{Name: "high", Normally: "open"},
		{Name: "spill", Normally: "closed"}}}
	site.Controller.Terminals = []sitefile.Terminal{{Output: "valve"}, {Contact: "high"}, {Contact: "spill"},
		{Pulse: "meter"}, {Analogue: "probe"}}
	assert.Equal(t, []harness.Terminal{
		{Name: "valve", Kind: harness.OutputTerminal}, {Name: "high", Kind: harness.ContactTerminal},
		{Name: "spill", Kind: harness.ContactTerminal, Normal: true}, {Name: "meter", Kind: harness.PulseTerminal},
		{Name: "probe", Kind: harness.AnalogueTerminal}, {Name: "power", Kind: harness.PowerTerminal},
	}, harness.Terminals(site), "power comes last")
}
