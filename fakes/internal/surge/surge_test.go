package surge_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/surge"
)

const bar = 1e5

// handbook reads the published value of each row.
func handbook(t *testing.T) map[string]float64 {
	file, err := os.Open("../../../testdata/reference/hydraulics/handbook.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	values := map[string]float64{}
	for _, r := range rows {
		if v, err := strconv.ParseFloat(r[5], 64); err == nil {
			values[r[0]] = v
		}
	}
	return values
}

// wall is a pipe of a modulus in GPa and a ratio of bore to wall.
func wall(modulus, ratio, length float64) surge.Pipe {
	return surge.Pipe{Length: length, Bore: ratio * 1e-3, Wall: 1e-3, Modulus: modulus * 1e9}
}

func TestWaveSpeeds(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "speed of a pressure wave",
		Equation: "√(K/ρ)/√(1 + K D/(E e)), Korteweg 1878",
		Source:   "rows WS of handbook.csv, formula verified on public pages that cite Wylie and Streeter 1993, values recomputed, moduli from memory", Tolerance: 1e-6})
	published := handbook(t)
	for _, row := range []struct {
		id             string
		modulus, ratio float64
	}{
		{"WS_PE100_SDR11", 0.8, 9}, {"WS_PE100_SDR17", 0.8, 15}, {"WS_LDPE_drip_tube_16x1.2", 0.2, 13.6 / 1.2},
		{"WS_PVC-U_SDR21", 3, 19}, {"WS_steel_DN50_e=3.6", 207, 53.1 / 3.6}, {"WS_rigid_limit", 1e21, 1},
	} {
		c.Near(published[row.id], wall(row.modulus, row.ratio, 1).Speed(), "%s, m/s", row.id)
	}
}

func TestBoundsOfHandbooks(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "bounds of a surge",
		Equation: "Δp = ρ a Δv (Joukowsky 1898), 2 ρ L v/T (Michaud 1878), 2L/a",
		Source:   "rows JO, MI, MT of handbook.csv, formulas verified, values recomputed", Tolerance: 1e-5})
	published := handbook(t)
	pe, pvc, steel := wall(0.8, 9, 100), wall(3, 19, 100), wall(207, 14.75, 60)
	c.Near(published["JO_PE100_SDR11_1.0"], surge.Joukowsky(pe.Speed(), 1)/bar, "polyethylene, 1 m/s, bar")
	c.Near(published["JO_PE100_SDR11_1.5"], surge.Joukowsky(pe.Speed(), 1.5)/bar, "polyethylene, 1.5 m/s, bar")
	c.Near(published["JO_PVC-U_SDR21_1.5"], surge.Joukowsky(pvc.Speed(), 1.5)/bar, "PVC, bar")
	c.Near(published["JO_steel_DN50_e=3.6_1.5"], surge.Joukowsky(steel.Speed(), 1.5)/bar, "steel, bar")
	c.Near(published["MI_PE100_SDR11"], surge.Michaud(100, 1.5, 2)/bar, "polyethylene, 2 s, bar")
	c.Near(published["MI_PVC-U_SDR21"], surge.Michaud(100, 1.5, 1)/bar, "PVC, 1 s, bar")
	c.Near(published["MI_steel_DN50_e=3.6"], surge.Michaud(60, 1.5, 0.5)/bar, "steel, 0.5 s, bar")
	for id, p := range map[string]surge.Pipe{"MT_PE100_SDR11": pe, "MT_PVC-U_SDR21": pvc,
		"MT_steel_DN50_e=3.6": steel} {
		c.Near(published[id], surge.Reduce(p).ReturnTime(), "%s, s", id)
	}
}

func TestWorkedExamples(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "worked examples of water hammer", Equation: "Δp = ρ a Δv, 2L/a",
		Source: "TM 5-813-9, US Army (public reprint of UFC 3-230-13A, verified), which takes g as 32 ft/s²; a metric example on a public page (verified), rounded to 0.1 bar", Tolerance: 1e-2})
	const foot, psi = 0.3048, 6894.757
	c.Near(236.1, surge.Joukowsky(2690*foot, 6.48*foot)/psi, "2690 ft/s, 6.48 ft/s, psi")
	c.Near(2.53, surge.ReturnTime(3400*foot, 2690*foot), "3400 ft, s")
	c.Near(6.0, surge.Joukowsky(400, 1.5)/bar, "400 m/s, 1.5 m/s, bar")
}

// ideal is a closing at the end of a line without friction, through a valve into the open air, whose Kv falls evenly.
func ideal(l surge.Line, velocity, pressure, seconds float64) surge.Closing {
	flow := velocity * l.Area
	kv := flow * 3600 / math.Sqrt(pressure/bar)
	return surge.Closing{Seconds: seconds, Flow: flow, Pressure: pressure, Static: pressure,
		Capacity: func(t float64) float64 {
			if t >= seconds {
				return 0
			}
			return kv * (1 - t/seconds)
		}}
}

// The interlocking equations of Allievi (1913) give the pressure at the valve one return time after another, from that
// alone: ζ² + ζ'² - 2 = 2ρ (η' ζ' - η ζ), with ζ² the pressure as a multiple of the static one, ρ = a v/(2 g H) and η
// the opening; the stroke marks what was one return time before. They know nothing of the inside of the pipe.
func allievi(l surge.Line, velocity, pressure, seconds float64) float64 {
	const parts = 16 // of a return time, as the line has 8 reaches
	rho := l.Impedance() * velocity * l.Area / (2 * pressure)
	last := int(math.Ceil((seconds + 8*l.ReturnTime()) / l.ReturnTime() * parts))
	zeta, eta := make([]float64, last+1), make([]float64, last+1)
	highest := 0.0
	for i := range zeta {
		eta[i] = math.Max(0, 1-float64(i)/parts*l.ReturnTime()/seconds)
		before, open := 1.0, 1.0
		if i >= parts {
			before, open = zeta[i-parts], eta[i-parts]
		}
		// ζ² + 2ρη ζ - (2 + 2ρη'ζ' - ζ'²) = 0
		half, c := rho*eta[i], 2+2*rho*open*before-before*before
		zeta[i] = -half + math.Sqrt(math.Max(0, half*half+c))
		highest = math.Max(highest, zeta[i]*zeta[i])
	}
	return highest * pressure
}

func TestAgainstAllievi(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "highest pressure while a valve shuts",
		Equation: "method of characteristics",
		Source:   "interlocking equations of Allievi 1913 (from memory), solved by the test for closings of 1.2 to 40 return times; Joukowsky for one within a return time", Tolerance: 1e-9})
	l := surge.Reduce(wall(0.8, 9, 60))
	for _, returns := range []float64{1.2, 2, 3.7, 10, 40} {
		for _, velocity := range []float64{0.3, 1, 2} {
			seconds := returns * l.ReturnTime()
			got := l.Peak(ideal(l, velocity, 6*bar, seconds))
			if !got.Separated {
				c.Near(allievi(l, velocity, 6*bar, seconds), got.Pressure, "%g return times at %g m/s, Pa", returns,
					velocity)
			}
		}
	}
	at1 := l.Peak(ideal(l, 1, 6*bar, 0.9*l.ReturnTime()))
	c.Near(6*bar+surge.Joukowsky(l.Speed, 1), at1.Pressure, "shut within a return time at 1 m/s, Pa")
}

// lines draws a line of one to three plastic pipes.
func lines(t *rapid.T) surge.Line {
	var pipes []surge.Pipe
	for range rapid.IntRange(1, 3).Draw(t, "pipes") {
		bore := rapid.Float64Range(8e-3, 60e-3).Draw(t, "bore")
		pipes = append(pipes, surge.Pipe{Length: rapid.Float64Range(1, 200).Draw(t, "length"), Bore: bore,
			Roughness: 7e-6,
			Wall:      bore / rapid.Float64Range(6, 19).Draw(t, "bore by wall"), Modulus: rapid.Float64Range(0.2e9,
				210e9).Draw(t, "modulus")})
	}
	return surge.Reduce(pipes...)
}

// No closing brings more than Joukowsky's rise above the pressure at rest, unless the water has parted before.
func TestNoPeakIsAboveJoukowsky(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lines(t)
		static := rapid.Float64Range(1, 10).Draw(t, "static") * bar
		velocity := rapid.Float64Range(0.05, 3).Draw(t, "velocity")
		c := ideal(l, velocity, static*rapid.Float64Range(0.2, 1).Draw(t, "left"), rapid.Float64Range(1e-3, 20).Draw(t,
			"seconds"))
		c.Static = static
		got := l.Peak(c)
		if !got.Separated {
			require.LessOrEqual(t, got.Pressure, static+surge.Joukowsky(l.Speed, velocity)*(1+1e-9),
				"the water hits harder than it can")
		}
		require.GreaterOrEqual(t, got.Pressure, c.Pressure)
		require.GreaterOrEqual(t, got.Least, surge.Vapour, "water takes no pull")
	})
}

// Within a return time the length of the stroke does not matter; beyond it a longer stroke brings less.
func TestALongerStrokeBringsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lines(t)
		velocity := rapid.Float64Range(0.05, 1).Draw(t, "velocity")
		pressure := surge.Joukowsky(l.Speed, velocity) * rapid.Float64Range(1.1, 4).Draw(t, "pressure")
		quick := l.Peak(ideal(l, velocity, pressure, l.ReturnTime()*rapid.Float64Range(0.01, 0.9).Draw(t, "share")))
		require.InEpsilon(t, pressure+surge.Joukowsky(l.Speed, velocity), quick.Pressure, 1e-9,
			"a stroke within the return time must bring Joukowsky's rise")
		before := quick.Pressure
		for returns := 2.0; returns < 3000; returns *= 2 {
			p := l.Peak(ideal(l, velocity, pressure, returns*l.ReturnTime())).Pressure
			require.Less(t, p, before, "a stroke of %g return times must bring less than one of half the length",
				returns)
			before = p
		}
		require.InDelta(t, pressure, before, pressure*2e-3, "an endless stroke must bring next to nothing")
	})
}

// A pipe that is cut into pieces of its own kind is the same line.
func TestPiecesOfOnePipe(t *testing.T) {
	whole, piece := surge.Reduce(wall(3, 12, 60)), wall(3, 12, 20)
	cut := surge.Reduce(piece, piece, piece)
	assert.InDelta(t, whole.Length, cut.Length, 1e-12)
	assert.InDelta(t, whole.Speed, cut.Speed, 1e-9)
	assert.InDelta(t, whole.Area, cut.Area, 1e-15)
}

// A quick closing at a low pressure pulls the water off the valve: the wave that comes back would be below vacuum.
func TestTheWaterParts(t *testing.T) {
	l := surge.Reduce(wall(0.8, 9, 60))
	for _, c := range []struct {
		velocity, static float64
		parts            bool
	}{{1, 6 * bar, false}, {1, 1.5 * bar, true}, {2, 6 * bar, false}, {2, 3 * bar, true}} {
		got := l.Peak(ideal(l, c.velocity, c.static, 1e-3))
		assert.Equal(t, c.parts, got.Separated, "%g m/s at %g bar: Joukowsky's rise is %.2f bar", c.velocity,
			c.static/bar, surge.Joukowsky(l.Speed, c.velocity)/bar)
	}
}

// In a very long and narrow pipe friction eats the wave: the pressure comes up to the static one and no further, and
// the water does not part.
func TestFrictionEatsTheWave(t *testing.T) {
	for _, bore := range []float64{2e-3, 10e-3} {
		l := surge.Reduce(surge.Pipe{Length: 10e3, Bore: bore, Wall: bore / 20, Modulus: 0.2e9})
		velocity := 25 * bar * bore * bore / (32 * 1.0034e-3 * 10e3) // Hagen and Poiseuille
		c := surge.Closing{Seconds: 1e-3, Flow: math.Min(velocity, 0.1) * l.Area, Pressure: 0, Static: 25 * bar,
			Capacity: func(t float64) float64 { return 1000 * math.Max(0, 1-t/1e-3) }}
		got := l.Peak(c)
		assert.GreaterOrEqual(t, got.Pressure, 25*bar, "at a bore of %g m the pressure must come up to the static one",
			bore)
		assert.LessOrEqual(t, got.Pressure, 25*bar+surge.Joukowsky(l.Speed, c.Flow/l.Area), "at a bore of %g m", bore)
		assert.False(t, got.Separated, "at a bore of %g m the water parts where the pressure only rises", bore)
	}
}

func TestNothingFlowsNothingHappens(t *testing.T) {
	l := surge.Reduce(wall(0.8, 9, 60))
	got := l.Peak(surge.Closing{Seconds: 1, Pressure: 2 * bar, Static: 2 * bar,
		Capacity: func(float64) float64 { return 0 }})
	assert.Equal(t, surge.Peak{Pressure: 2 * bar, Least: 2 * bar}, got)
}

func BenchmarkPeak(b *testing.B) {
	l := surge.Reduce(wall(0.8, 9, 60))
	c := ideal(l, 1, 6*bar, 1.6)
	b.ReportAllocs()
	for b.Loop() {
		l.Peak(c)
	}
}
