package soil_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/soil"
)

// Under water, coarse soil fills behind a front that is nearly sharp: t = dtheta/K (L - psi ln(1 + L/psi)), with psi
// the integral of the relative conductivity over the suction (Neuman 1976; from memory). Richards is later, the finer
// the soil the more: its front is as long as the suction there, and in it weight pulls only on what the soil conducts,
// not on what it would when full. Finer cells make no difference to that; the next test takes the front as it is.
func TestFrontOfGreenAndAmpt(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "arrival of water at a probe 0.5 m deep",
		Equation: "Richards under a film of water; cells of 25 mm; sand, loamy sand, sandy loam from 3.365 m of suction",
		Source:   "Green and Ampt 1911, by hand, with the suction at the front after Neuman 1976 (from memory); a sharp front, which Richards has not", Tolerance: 0.15})
	const deep, begins = 0.5, 3.365 // m
	for _, v := range []soil.VanGenuchten{ground("sand"), ground("loamy sand"), ground("sandy loam")} {
		s := soil.Of(v)
		psi := 0.0
		for suction := 1e-5; suction < begins; suction *= 1.01 {
			psi += 0.01 * suction * (v.ConductivityAt(suction) + v.ConductivityAt(1.01*suction)) / 2 / v.Conductivity
		}
		lacks := v.Saturated - s.WaterContent(-begins)
		want := lacks / v.Conductivity * (deep - psi*math.Log(1+deep/psi))
		c := soil.NewColumn(s, 40, 1, 1)
		c.Base, c.HoldsHead = soil.FreeDrainage, true
		c.SetHeads(func(float64) float64 { return -begins })
		got := 0.0
		for c.At(deep) < v.Saturated-lacks/2 && got < 3*want {
			c.Advance(want/1000, soil.Demand{})
			got += want / 1000
		}
		check.Near(want, got, "seconds until half of what is lacking has come, n = %g", v.N)
	}
}

// parlange is the water that has entered a soil under a film of water after a time, m: 2 dK^2 t/S^2 = (i - ln((e^(d i)
// + d - 1)/d))/(1 - d), with i = 2 dK (entered - K0 t)/S^2 and d = 0.85 (Parlange, Lisle, Braddock and Smith 1982); S^2
// is the integral of (saturated + theta - 2 dry) K over the suction (Parlange 1975). Both from memory.
func parlange(v soil.VanGenuchten, begins, time float64) (entered, scale float64) {
	const shape = 0.85
	s := soil.Of(v)
	dry, slow := s.WaterContent(-begins), s.Conductivity(-begins)
	sorptivity := 0.0 // squared, m2/s
	for suction := 1e-6; suction < begins; suction *= 1.001 {
		middle := suction * 1.0005
		sorptivity += 0.001 * suction * v.ConductivityAt(middle) * (v.Saturated + v.WaterContent(middle) - 2*dry)
	}
	more := v.Conductivity - slow
	low, high := 0.0, 700.0
	for range 100 {
		i := (low + high) / 2
		if (i-math.Log((math.Exp(shape*i)+shape-1)/shape))/(1-shape) < 2*more*more*time/sorptivity {
			low = i
		} else {
			high = i
		}
	}
	return low*sorptivity/(2*more) + slow*time, sorptivity / (2 * more * more)
}

func TestInfiltrationOfParlange(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "water that enters under a film, 14 textures",
		Equation: "Richards under a film of water; cells of 6 mm; from 3.365 m of suction, at 1 and 3 of the time S²/2K²",
		Source:   "Parlange, Lisle, Braddock and Smith 1982, quasi-analytic, with the sorptivity of Parlange 1975 (both from memory), solved by halving in the test", Tolerance: 0.1})
	const begins = 3.365 // m
	for _, texture := range textures {
		v := ground(texture)
		c := soil.NewColumn(soil.Of(v), 160, 1, 1)
		c.Base, c.HoldsHead = soil.FreeDrainage, true
		c.SetHeads(func(float64) float64 { return -begins })
		_, scale := parlange(v, begins, 1)
		now := 0.0
		for _, times := range []float64{1, 3} {
			c.Advance(times*scale-now, soil.Demand{})
			now = times * scale
			want, _ := parlange(v, begins, now)
			check.Near(want, c.Applied, "metres of water into %s after %.0f s", texture, now)
		}
		require.InDelta(t, soil.Of(v).WaterContent(-begins), c.At(0.95), 1e-3, "the front in %s has come to the base",
			texture)
	}
}
