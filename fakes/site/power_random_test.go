package site_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// anySupply draws a supply and what hangs on it.
func anySupply(t *rapid.T) string {
	text := fmt.Sprintf("power: {internal-resistance: %.6g ohm, controller-draws: %.6g mA",
		rapid.SampledFrom([]float64{0, 0.05, 2, 40, 900}).Draw(t, "ohms"),
		rapid.Float64Range(0.01, 500).Draw(t, "draws"))
	if rapid.Bool().Draw(t, "capacitor") {
		text += fmt.Sprintf(", capacitor: %.6g uF", rapid.SampledFrom([]float64{1, 470, 4700, 5e6}).Draw(t, "uF"))
	}
	if rapid.Bool().Draw(t, "battery") {
		text += fmt.Sprintf(", battery: {capacity: %.6g mAh, flat: %.6g V, starts: %.6g %%}", rapid.Float64Range(1,
			5000).Draw(t, "mAh"),
			rapid.Float64Range(0.5, 11).Draw(t, "flat"), rapid.Float64Range(0.2, 100).Draw(t, "starts"))
	}
	drive := rapid.SampledFrom([]string{"", alternatingCoil, ", drive: latching", ", drive: motorised",
		", diode: built-in, leads: swapped"})
	return plot(drive.Draw(t, "one"), drive.Draw(t, "two"), text+"}\n")
}

// Whatever the supply is and whatever hangs on it: the controller is told a voltage between none and that of the
// source, a charge never comes back, and an hour takes few steps. To ask for moments between changes nothing.
func TestAnySupply(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := anySupply(rt)
		plain, watched := open(rt, read(rt, text)), open(rt, read(rt, text))
		knobs := plain.panel.Knobs()
		recharged := false
		for range rapid.IntRange(1, 12).Draw(rt, "acts") {
			device := rapid.SampledFrom([]string{"one", "two"}).Draw(rt, "device")
			volts := rapid.SampledFrom([]float64{-12, 0, 12}).Draw(rt, "volts")
			k := rapid.SampledFrom(knobs).Draw(rt, "knob")
			turns := rapid.Bool().Draw(rt, "turns")
			value := rapid.Float64Range(k.Min, min(k.Max, 1000)).Draw(rt, "value")
			until := plain.now + signal.Time(rapid.Int64Range(1, int64(10*signal.Minute)).Draw(rt, "ns"))
			recharged = recharged || turns && k.Name == "charge"
			for _, r := range []*rig{plain, watched} {
				if turns {
					r.open(k.Device, k.Name, value)
				}
				r.put(device, volts)
			}
			for i := signal.Time(1); i < 20; i++ {
				watched.run(plain.now + (until-plain.now)*i/20)
			}
			plain.run(until)
			watched.run(until)
			v := plain.supply()
			require.False(rt, math.IsNaN(v) || v < -1e-9 || v > 12*1.5*1.5+1e-9, "the supply is %g V", v)
			if turns {
				for _, r := range []*rig{plain, watched} {
					r.close(k.Device, k.Name, value)
				}
			}
		}
		require.Less(rt, len(plain.pins), 20000, "the supply is worked out over and over")
		require.Equal(rt, plain.pins, watched.pins, "being watched changes what the controller gets")
		a, b := plain.end(), watched.end()
		for i, s := range a.Signals() {
			require.Equal(rt, a.Column(signal.ID(i)), b.Column(signal.ID(i)), "being watched changes %s", s.Name())
		}
		if id, ok := a.Find("power.charge"); ok && !recharged {
			c := a.Column(id)
			for i := 1; i < len(c.Value); i++ {
				back := c.Value[i] > c.Value[i-1]
				require.False(rt, back && c.At[i] > c.At[i-1], "charge comes back by itself at %v", c.At[i])
			}
		}
	})
}
