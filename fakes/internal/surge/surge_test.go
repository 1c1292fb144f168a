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
		{"WS_PVC-U_SDR21", 3, 19}, {"WS_steel_DN50_e=3.6", 207, 53.1 / 3.6}, {"WS_copper_15x1", 120, 13}, {"WS_rigid_limit", 1e21, 1},
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
		c.Near(published[id], lineOf(p).ReturnTime(), "%s, s", id)
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

// A line is pipes one behind the other from a tank, without friction, to a valve into the open air.
type line struct {
	surge.Network
	pipes []surge.Pipe
}

func lineOf(pipes ...surge.Pipe) *line {
	l := &line{pipes: pipes}
	l.Nodes = []surge.Node{{Held: true}}
	for i, p := range pipes {
		l.Nodes = append(l.Nodes, surge.Node{})
		l.Pipes = append(l.Pipes, surge.Run{Pipe: p, From: i, To: i + 1})
	}
	l.Nodes = append(l.Nodes, surge.Node{Held: true})
	l.Links = []surge.Link{{From: len(pipes), To: len(pipes) + 1, OneWay: true}}
	return l
}

func area(p surge.Pipe) float64 { return math.Pi / 4 * p.Bore * p.Bore }

// shuts closes the valve evenly, with a velocity in the last pipe and a pressure everywhere before.
func (l *line) shuts(velocity, pressure, seconds float64) surge.Peak {
	last := len(l.pipes)
	flow := velocity * area(l.pipes[last-1])
	for i := range last + 1 {
		l.Nodes[i].Head = pressure
	}
	for i := range l.Pipes {
		l.Pipes[i].Flow = flow
	}
	kv := flow * 3600 / math.Sqrt(pressure/bar)
	l.Links[0].Flow, l.Quickest = flow, seconds
	l.Links[0].Kv = func(t float64) float64 { return kv * math.Max(0, 1-t/seconds) }
	return l.Surge(seconds)[last]
}

// The interlocking equations of Allievi (1913) give the pressure at the valve one return time after another, from that
// alone: ζ² + ζ'² - 2 = 2ρ (η' ζ' - η ζ), with ζ² the pressure as a multiple of the static one, ρ = a v/(2 g H) and η
// the opening; the stroke marks what was one return time before. They know nothing of the inside of the pipe.
func allievi(p surge.Pipe, velocity, pressure, seconds float64) float64 {
	const parts = 16 // of a return time, as the line has 8 reaches
	rho := surge.Joukowsky(p.Speed(), velocity) / (2 * pressure)
	returns := surge.ReturnTime(p.Length, p.Speed())
	last := int(math.Ceil((seconds + 8*returns) / returns * parts))
	zeta, eta := make([]float64, last+1), make([]float64, last+1)
	highest := 0.0
	for i := range zeta {
		eta[i] = math.Max(0, 1-float64(i)/parts*returns/seconds)
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
	pipe := wall(0.8, 9, 60)
	l := lineOf(pipe)
	for _, returns := range []float64{1.2, 2, 3.7, 10, 40} {
		for _, velocity := range []float64{0.3, 1, 1.5} {
			seconds := returns * l.ReturnTime()
			got := l.shuts(velocity, 9*bar, seconds)
			require.False(t, got.Separated)
			c.Near(allievi(pipe, velocity, 9*bar, seconds), got.Pressure, "%g return times at %g m/s, Pa", returns,
				velocity)
		}
	}
	at1 := l.shuts(1, 6*bar, 0.9*l.ReturnTime())
	c.Near(6*bar+surge.Joukowsky(pipe.Speed(), 1), at1.Pressure, "shut within a return time at 1 m/s, Pa")
}

// anyPipe draws a pipe of any material.
func anyPipe(t *rapid.T) surge.Pipe {
	bore := rapid.Float64Range(8e-3, 60e-3).Draw(t, "bore")
	return surge.Pipe{Length: rapid.Float64Range(1, 200).Draw(t, "length"), Bore: bore,
		Wall:    bore / rapid.Float64Range(6, 19).Draw(t, "bore by wall"),
		Modulus: rapid.Float64Range(0.2e9, 210e9).Draw(t, "modulus")}
}

// In one pipe no closing brings more than Joukowsky's rise above the pressure at rest, unless the water has parted. The
// scheme may miss by a thousandth of it, by the steps of a short stroke and of friction.
func TestNoPeakIsAboveJoukowsky(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPipe(t)
		l := lineOf(p)
		velocity := rapid.Float64Range(0.05, 3).Draw(t, "velocity")
		jump := surge.Joukowsky(p.Speed(), velocity)
		static := rapid.Float64Range(0.9, 3).Draw(t, "static")*jump + bar
		seconds := rapid.Float64Range(1e-3, 20).Draw(t, "seconds")
		got := l.shuts(velocity, static, seconds)
		if !got.Separated {
			require.LessOrEqual(t, got.Pressure, (static+jump)*(1+1e-3),
				"the water hits harder than it can")
		}
		require.GreaterOrEqual(t, got.Pressure, static)
		require.GreaterOrEqual(t, got.Least, surge.Vapour, "water takes no pull")
	})
}

// Within a return time the length of the stroke does not matter; beyond it a longer stroke brings less.
func TestALongerStrokeBringsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPipe(t)
		l := lineOf(p)
		velocity := rapid.Float64Range(0.05, 1).Draw(t, "velocity")
		jump := surge.Joukowsky(p.Speed(), velocity)
		pressure := bar + jump*rapid.Float64Range(1.1, 4).Draw(t, "pressure")
		quick := l.shuts(velocity, pressure, l.ReturnTime()*rapid.Float64Range(0.01, 0.9).Draw(t, "share"))
		require.InEpsilon(t, pressure+jump, quick.Pressure, 1e-9,
			"a stroke within the return time must bring Joukowsky's rise")
		before := quick.Pressure
		for returns := 2.0; returns < 3000; returns *= 2 {
			p := l.shuts(velocity, pressure, returns*l.ReturnTime()).Pressure
			require.Less(t, p, before, "a stroke of %g return times must bring less than one of half the length",
				returns)
			before = p
		}
		require.InDelta(t, pressure, before, pressure*2e-3, "an endless stroke must bring next to nothing")
	})
}

// A pipe that is cut into pieces of its own kind is the same line.
func TestPiecesOfOnePipe(t *testing.T) {
	piece := wall(3, 12, 20)
	whole, cut := lineOf(wall(3, 12, 60)), lineOf(piece, piece, piece)
	assert.InEpsilon(t, whole.ReturnTime(), cut.ReturnTime(), 1e-12)
	for _, seconds := range []float64{0.01, 0.3, 2} {
		assert.InEpsilon(t, whole.shuts(1, 9*bar, seconds).Pressure, cut.shuts(1, 9*bar, seconds).Pressure, 1e-2,
			"shut in %g s", seconds)
	}
}

// A quick closing at a low pressure pulls the water off the valve: the wave that comes back would be below vacuum.
func TestTheWaterParts(t *testing.T) {
	p := wall(0.8, 9, 60)
	for _, c := range []struct {
		velocity, static float64
		parts            bool
	}{{1, 6 * bar, false}, {1, 1.5 * bar, true}, {2, 6 * bar, false}, {2, 3 * bar, true}} {
		got := lineOf(p).shuts(c.velocity, c.static, 1e-3)
		assert.Equal(t, c.parts, got.Separated, "%g m/s at %g bar: Joukowsky's rise is %.2f bar", c.velocity,
			c.static/bar, surge.Joukowsky(p.Speed(), c.velocity)/bar)
	}
}

// In a very long and narrow pipe friction eats the wave: the pressure comes up towards the static one, at most by
// Joukowsky's rise above it, and the water does not part.
func TestFrictionEatsTheWave(t *testing.T) {
	for _, bore := range []float64{2e-3, 10e-3} {
		p := surge.Pipe{Length: 10e3, Bore: bore, Wall: bore / 20, Modulus: 0.2e9}
		l := lineOf(p)
		velocity := math.Min(0.1, 25*bar*bore*bore/(32*1.0034e-3*10e3)) // Hagen and Poiseuille
		l.Nodes[0].Head, l.Nodes[1].Head = 25*bar, 0.1*bar
		l.Pipes[0].Flow = velocity * area(p)
		l.Links[0].Flow, l.Quickest = l.Pipes[0].Flow, 1e-3
		l.Links[0].Kv = func(t float64) float64 { return 1000 * math.Max(0, 1-t/1e-3) }
		got := l.Surge(1e-3)[1]
		assert.LessOrEqual(t, got.Pressure, 25*bar+surge.Joukowsky(p.Speed(), velocity), "at a bore of %g m", bore)
		assert.False(t, got.Separated, "at a bore of %g m the water parts where the pressure only rises", bore)
	}
}

// section is a pipe of a lattice, that a wave passes in so many units of time.
type section struct {
	from, to, units int
	z               float64
}

// lattice follows a step of head that a valve sends at once into pipes without friction, impulse by impulse, and
// returns the highest rise at each node: where pipes meet, a wave is passed on by 2 (1/Z)/Σ(1/Z) of it and thrown back by
// that less 1, which is +1 at a dead end; a held node throws it back by -1. Z is ρ a/A.
func lattice(nodes, valve int, held map[int]bool, pipes []section, step float64, until int) []float64 {
	type arrival struct{ pipe, node int }
	due := make([]map[arrival]float64, until+1)
	for i := range due {
		due[i] = map[arrival]float64{}
	}
	head, highest, admittance := make([]float64, nodes), make([]float64, nodes), make([]float64, nodes)
	for _, p := range pipes {
		admittance[p.from] += 1 / p.z
		admittance[p.to] += 1 / p.z
	}
	send := func(at, node, pipe int, size float64) {
		p := pipes[pipe]
		to := p.from + p.to - node
		if at+p.units <= until {
			due[at+p.units][arrival{pipe, to}] += size
		}
	}
	for i, p := range pipes {
		if p.from == valve || p.to == valve {
			head[valve] += step
			send(0, valve, i, step)
		}
	}
	for at := range until + 1 {
		for a, size := range due[at] {
			passed := 2 * (1 / pipes[a.pipe].z) / admittance[a.node] * size
			if held[a.node] {
				passed = 0
			}
			head[a.node] += passed
			for i, p := range pipes {
				if i == a.pipe {
					send(at, a.node, i, passed-size)
				} else if p.from == a.node || p.to == a.node {
					send(at, a.node, i, passed)
				}
			}
		}
		for i := range head {
			highest[i] = math.Max(highest[i], head[i])
		}
	}
	return highest
}

func TestWavesAtJunctions(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "waves at changes of pipe and at a tee, sudden closing",
		Equation: "passed on 2 (1/Z)/Σ(1/Z), thrown back that less 1, Z = ρ a/A",
		Source: "Wylie and Streeter 1993, ch. 3 and 5, Thorley 2004 (from memory), followed impulse by impulse by the " +
			"test: a copper tail on polyethylene; a copper branch that stands shut", Tolerance: 1e-9})
	pe, copper := wall(0.8, 9, 60), surge.Pipe{Bore: 13e-3, Wall: 1e-3, Modulus: 120e9}
	unit := pe.Length / pe.Speed() / 4
	copper.Length = copper.Speed() * unit
	short, branch := pe, copper
	short.Length = pe.Length / 2
	branch.Length *= 3
	z := func(p surge.Pipe) float64 { return surge.Density * p.Speed() / area(p) }
	const speed, static = 0.3, 30 * bar

	l := lineOf(pe, copper)
	got := l.shuts(speed, static, 1e-6)
	want := lattice(3, 2, map[int]bool{0: true}, []section{{0, 1, 4, z(pe)}, {1, 2, 1, z(copper)}},
		surge.Joukowsky(copper.Speed(), speed), 6*2*5)
	c.Near(want[2], got.Pressure-static, "at the valve behind the copper tail, Pa")
	c.Near(want[1], l.Surge(1e-6)[1].Pressure-static, "at its beginning, Pa")
	assert.Greater(t, want[2], surge.Joukowsky(copper.Speed(), speed)*1.1, "waves in the tail add up")

	flow := speed * area(pe)
	n := surge.Network{}
	for range 4 {
		n.Nodes = append(n.Nodes, surge.Node{Head: static})
	}
	n.Nodes[0].Held = true
	n.Nodes = append(n.Nodes, surge.Node{Held: true})
	n.Pipes = []surge.Run{{Pipe: pe, From: 0, To: 1, Flow: flow}, {Pipe: short, From: 1, To: 2, Flow: flow},
		{Pipe: branch, From: 1, To: 3}}
	n.Links = []surge.Link{{From: 2, To: 4, Flow: flow, OneWay: true, Kv: func(t float64) float64 {
		return math.Max(0, 1-t*1e9)
	}}}
	peaks := n.Surge(0)
	want = lattice(4, 2, map[int]bool{0: true}, []section{{0, 1, 4, z(pe)}, {1, 2, 2, z(pe)}, {1, 3, 3, z(branch)}},
		surge.Joukowsky(pe.Speed(), speed), 6*2*7)
	c.Near(want[2], peaks[2].Pressure-static, "at the valve beside a shut branch, Pa")
	c.Near(want[3], peaks[3].Pressure-static, "at the end of the shut branch, Pa")
}

// A non-return valve that shuts late stops a column that has come back: Joukowsky's rise of the reversed velocity above
// what stands behind it. With a pump that loses its head at once before a pipe without friction, that velocity grows by
// twice the loss over ρ a with every return time, and the wave that is under way as it shuts still adds as much.
func TestASlamIsTheReversedVelocity(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "slam of a non-return valve",
		Equation: "Δp = ρ a v of the water that comes back, v = (2k + 3) Δp/(ρ a) - v0 when it shuts after k whole return times",
		Source:   "Joukowsky 1898, waves in a pipe between a pump that stops at once and a tank, by hand", Tolerance: 1e-4})
	pipe := wall(0.8, 9, 60)
	const velocity, head, low, fall = 0.4, 9 * bar, 6 * bar, 3 * bar
	for k, returns := range []float64{0.5, 1.5} {
		n := surge.Network{Nodes: []surge.Node{{Head: head, Held: true}, {Head: head}, {Head: head, Held: true}},
			Pipes: []surge.Run{{Pipe: pipe, From: 1, To: 2, Flow: velocity * area(pipe)}},
			Links: []surge.Link{{From: 0, To: 1, Flow: velocity * area(pipe), OneWay: true}}}
		n.Nodes[0].Course = func(float64) float64 { return low }
		n.Links[0].Lag = returns * surge.ReturnTime(pipe.Length, pipe.Speed())
		reversed := float64(2*k+3)*fall/(surge.Density*pipe.Speed()) - velocity
		c.Near(low+surge.Joukowsky(pipe.Speed(), reversed), n.Surge(0)[1].Pressure, "shut %g return times late, Pa",
			returns)
	}
}

func TestNothingFlowsNothingHappens(t *testing.T) {
	l := lineOf(wall(0.8, 9, 60))
	l.Nodes[0].Head, l.Nodes[1].Head = 2*bar, 2*bar
	l.Links[0].Kv = func(float64) float64 { return 0 }
	assert.Equal(t, surge.Peak{Pressure: 2 * bar, Least: 2 * bar}, l.Surge(1)[1])
}

func BenchmarkSurge(b *testing.B) {
	l := lineOf(wall(0.8, 9, 60))
	b.ReportAllocs()
	for b.Loop() {
		l.shuts(1, 6*bar, 1.6)
	}
}

// BenchmarkSurgeParted is of a computation in which the water parts.
func BenchmarkSurgeParted(b *testing.B) {
	l := lineOf(wall(0.8, 9, 60))
	b.ReportAllocs()
	for b.Loop() {
		l.shuts(1, 1.5*bar, 0.01)
	}
}
