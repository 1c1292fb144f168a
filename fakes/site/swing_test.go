package site

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Whatever the waves, the float and the inflow: a float that is moved by hand, millisecond for millisecond, to where
// the sloshing water has it, changes when the site's float does. No crossing is missed and none is made up.
func TestFloatFollowsEveryWave(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		height := rapid.IntRange(3, 60).Draw(rt, "crests, mm")
		damping := rapid.SampledFrom([]float64{1, 5, 30}).Draw(rt, "damping, %")
		differential := rapid.IntRange(1, 40).Draw(rt, "differential, mm")
		low := rapid.Bool().Draw(rt, "low water")
		operates, releases := 520, 520-differential
		if low {
			operates, releases = releases, operates
		}
		spec, err := sitefile.Read("test.yaml", fmt.Appendf(nil, `site: swinging
supplies:
  - {name: mains, static: 4 bar, residual: 3 bar, at: 40 L/min}
valves:
  - {name: fill, from: mains, capacity: 1 m3/h, opens: 100 ms, closes: 100 ms, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: inlet, from: fill, bore: 12 mm, into: tank, air-gap: 40 mm, height: 920 mm}
tanks:
  - {name: tank, length: 800 mm, width: 500 mm, rim: 880 mm, starts: 510 mm, slosh: {height: %d mm, damping: %g %%}}
contacts:
  - {name: float, in: tank, operates: %d mm, releases: %d mm, normally: open}
controller:
  supply: 12 V
  resets-below: 8 V
  boots: 1 s
  board: {rail: 3.3 V, pull-up: 10 kohm, low: 0.8 V, high: 2 V, bits: 12, impedance: 1 Mohm}
  terminals: [{terminal: OUT1, output: fill}, {terminal: IN1, contact: float}]
  settings: {clock: 'Monday 00:00'}
`, height, damping, operates, releases))
		require.NoError(rt, err)
		s, err := New(spec)
		require.NoError(rt, err)
		trace := signal.NewTrace()
		require.NoError(rt, s.Open(context.Background(), trace, fault.NewPanel(), harness.NewDraw(1, "test")))
		tank := s.water.Tank("tank")
		id, _ := trace.Find(signal.Contact("float").Operated().Name())
		recorded := func(at signal.Time) bool { return trace.At(id, at) > 0 }
		operated := recorded(0)
		const near = 1e-6 // m of a threshold, where a millisecond decides
		for at := signal.Time(0); at < 14*signal.Second; at += signal.Millisecond {
			var out []harness.Pin
			switch at {
			case signal.Second:
				out = []harness.Pin{{At: at, Terminal: 0, Volts: 12, Ohms: 1}}
			case 9 * signal.Second:
				out = []harness.Pin{harness.Open(at, 0)}
			}
			_, err := s.Advance(context.Background(), at, out)
			require.NoError(rt, err)
			mean, _ := tank.Mean(at)
			level, threshold := mean+tank.Slosh().Height(at), float64(releases)/1000
			if !operated {
				threshold = float64(operates) / 1000
			}
			past := level >= threshold
			if operated != low { // it waits for the level to fall
				past = level <= threshold
			}
			if past {
				operated = !operated
			}
			if off := level - threshold; operated != recorded(at) && (off > near || off < -near) {
				require.Equal(rt, operated, recorded(at),
					"at %v the water at the float stands at %.6f m, past its threshold of %.6f m", at, level, threshold)
			}
			operated = recorded(at)
		}
	})
}
