package water_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/water"
)

// handbook reads handbook.csv: closed formulas and printed tables, each row
// with its source. It returns rows by identifier.
func handbook(t *testing.T) map[string][]string {
	t.Helper()
	file, err := os.Open(filepath.Join(referenceFolder, "handbook.csv"))
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	book := map[string][]string{}
	for _, row := range rows[1:] {
		book[row[0]] = row
	}
	return book
}

// inputs reads the values of a handbook row's third and fourth columns, such
// as "PE C=150; L=100 m; q=20 L/min; d=20.4 mm", in SI units.
func inputs(t *testing.T, text string) map[string]float64 {
	t.Helper()
	units := map[string]float64{"m": 1, "mm": 1e-3, "L/min": 1.0 / 60000, "m3/h": 1, "dripline": 1, "": 1}
	values := map[string]float64{}
	for _, part := range strings.Split(text, ";") {
		name, value, found := strings.Cut(strings.TrimSpace(part), "=")
		if !found {
			continue
		}
		name = name[strings.LastIndex(name, " ")+1:]
		fields := append(strings.Fields(value), "")
		unit, known := units[fields[1]]
		require.True(t, known, "unit %q", fields[1])
		values[name] = number(t, fields[0]) * unit
	}
	return values
}

// loss solves one pipe between a reservoir and a fixed draw and returns the
// head lost.
func loss(t *testing.T, constants water.Constants, pipe water.Pipe, flow float64) float64 {
	t.Helper()
	n := water.Network{Constants: constants}
	from, to := n.Reservoir("source", 0), n.Junction("end", 0, flow)
	n.Pipe("pipe", from, to, pipe)
	s, err := n.Compile()
	require.NoError(t, err)
	require.NoError(t, s.Solve())
	return -s.Head(to)
}

// Rows HW: Williams and Hazen, Hydraulic Tables, with three choices of the
// constant in SI units.
func TestHandbookHazenWilliams(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "pipe friction by Hazen and Williams",
		Equation: "h = k L Q^1.852 / (C^1.852 d^m), three choices of k and m",
		Source:   "G. S. Williams and A. Hazen, Hydraulic Tables (1905), handbook.csv HW, recomputed", Tolerance: 1e-6})
	for id, row := range handbook(t) {
		if !strings.HasPrefix(id, "HW") {
			continue
		}
		in := inputs(t, row[3])
		constants := water.Standard()
		flow := in["q"]
		switch id[len(id)-1] {
		case 'b':
			constants.HazenWilliams, constants.HazenWilliamsBore = 10.674, 4.871
		case 'c':
			constants.HazenWilliams, constants.HazenWilliamsBore = 10.6668295, 4.871
			flow *= 60000 * 0.028316846592 / 1699.0 // this row's cubic foot is rounded
		}
		pipe := water.Pipe{Length: in["L"], Bore: in["d"], HazenWilliams: in["C"]}
		check.Near(number(t, row[5]), loss(t, constants, pipe, flow), "%s: %s", id, row[3])
	}
}

// Rows DW and F: Weisbach's loss with the factors of Colebrook (1939) and of
// Swamee and Jain (1976). Rows FL: Hagen and Poiseuille.
func TestHandbookDarcyWeisbach(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "pipe friction by Darcy and Weisbach",
		Equation: "h = f L/d v²/2g; 64/Re, Colebrook-White, Swamee-Jain",
		Source:   "J. Weisbach (1845), G. Hagen (1839), C. F. Colebrook (1939), P. K. Swamee and A. K. Jain (1976), handbook.csv DW, F and FL, recomputed", Tolerance: 1e-6})
	checked := 0
	for id, row := range handbook(t) {
		if !strings.HasPrefix(id, "DW") && row[1] != "friction factor" && id != "FL5" || id[0] == 'F' &&
			id[len(id)-1] == 'c' {
			continue
		}
		in := inputs(t, row[3])
		constants := water.Standard()
		want := number(t, row[5])
		switch {
		case strings.HasPrefix(id, "DW"), id == "FL5":
			if id[len(id)-1] == 'S' {
				constants.Friction = water.SwameeJain
			}
			pipe := water.Pipe{Length: in["L"], Bore: in["d"], Roughness: in["eps"]}
			check.Near(want, loss(t, constants, pipe, in["q"]), "%s: %s", id, row[3])
		default:
			if id[len(id)-1] == 'b' {
				constants.Friction = water.SwameeJain
			}
			check.Near(want, frictionFactor(t, constants, in["Re"], in["eps/D"]), "%s: %s", id, row[3])
		}
		checked++
	}
	assert.Equal(t, 10+5+10, checked, "rows of the handbook that were checked")
}

// frictionFactor measures the factor on a pipe of 100 bores.
func frictionFactor(t *testing.T, constants water.Constants, reynolds, roughness float64) float64 {
	const bore = 0.05
	flow := reynolds * math.Pi * bore * constants.Viscosity / 4
	pipe := water.Pipe{Length: 100 * bore, Bore: bore, Roughness: roughness * bore}
	velocity := flow / (math.Pi / 4 * bore * bore)
	return loss(t, constants, pipe, flow) / 100 / (velocity * velocity / 2 / constants.Gravity)
}

// The friction factor has no jump where the regimes meet.
func TestFrictionIsContinuousBetweenRegimes(t *testing.T) {
	for _, friction := range []water.Friction{water.ColebrookWhite, water.SwameeJain} {
		constants := water.Standard()
		constants.Friction = friction
		for _, reynolds := range []float64{2000, 4000} {
			below := frictionFactor(t, constants, reynolds*(1-1e-7), 0.001)
			above := frictionFactor(t, constants, reynolds*(1+1e-7), 0.001)
			assert.InEpsilon(t, below, above, 1e-6, "at Re %v", reynolds)
		}
	}
}

// Rows KV: IEC 60534-2-1, 1 m3/h at 1 bar.
func TestHandbookValves(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "valves by Kv and Cv", Equation: "Q = Kv √(Δp / 1 bar)",
		Source: "IEC 60534-2-1, handbook.csv KV, recomputed", Tolerance: 1e-6})
	book, k := handbook(t), water.Standard()
	drop := func(kv, flow float64) float64 { // bar
		var n water.Network
		from, to := n.Reservoir("source", 100), n.Junction("end", 0, flow)
		n.Valve("valve", from, to, kv)
		s, err := n.Compile()
		require.NoError(t, err)
		require.NoError(t, s.Solve())
		return 100*k.Density*k.Gravity/1e5 - s.Pressure(to)/1e5
	}
	check.Near(1, drop(1, 1.0/3600), "KV1: 1 m3/h at Kv 1 takes 1 bar")
	for _, id := range []string{"KV4", "KV5", "KV6", "KV7"} {
		in := inputs(t, book[id][3])
		check.Near(number(t, book[id][5]), drop(in["Kv"], in["q"]), "%s: %s", id, book[id][3])
	}
	// KV2 and KV3: a Cv is US gal/min at 1 psi. The flow at which a valve of
	// Kv 1 takes 1 psi, in US gal/min, is its Cv.
	const gallon, psi = 3.785411784e-3, 0.0689475729 // m3, bar
	var n water.Network
	from, to := n.Reservoir("source", psi*1e5/(k.Density*k.Gravity)), n.Reservoir("end", 0)
	valve := n.Valve("valve", from, to, 1)
	s, err := n.Compile()
	require.NoError(t, err)
	require.NoError(t, s.Solve())
	cv := s.Flow(valve) * 60 / gallon
	check.Near(number(t, book["KV3"][5]), cv, "KV3: Cv of Kv 1")
	check.Near(number(t, book["KV2"][5]), 1/cv, "KV2: Kv of Cv 1")
	// KV8 turns a Kv into velocity heads; a pipe with that loss must do the same.
	minor := number(t, book["KV8"][5])
	area := math.Pi / 4 * 0.02 * 0.02
	velocity := 1.0 / 3600 / area
	check.Near(drop(1.5, 1.0/3600), minor*velocity*velocity/2*k.Density/1e5, "KV8")
}

// Rows OR: Torricelli. An outlet with such a coefficient on a reservoir gives
// k sqrt(h).
func TestHandbookOrifices(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "orifices, nozzles and open ends", Equation: "Q = Cd A √(2 g h)",
		Source: "E. Torricelli (1643), handbook.csv OR, recomputed", Tolerance: 1e-6})
	book := handbook(t)
	for _, id := range []string{"OR1", "OR2", "OR3", "OR4"} {
		in := inputs(t, book[id][3])
		want := number(t, book[id][5]) / 60000 // at 1 m
		coefficient := in["Cd"] * math.Pi / 4 * in["d"] * in["d"] * math.Sqrt(2*water.Standard().Gravity)
		check.Near(want, coefficient, "%s: %s", id, book[id][3])
		var n water.Network
		tank := n.Tank("tank", 0, water.Upright(1))
		hole := n.Emitter("hole", tank, water.Emitter{Coefficient: coefficient, Exponent: 0.5})
		s, err := n.Compile()
		require.NoError(t, err)
		s.Hold(tank, 2.25)
		require.NoError(t, s.Solve())
		check.Near(1.5*want, s.Outflow(hole), "%s at 2.25 m", id)
	}
}

// Rows SP: standpipe overflow by drop-pipe spillway practice (USBR).
func TestHandbookStandpipes(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "standpipe overflow",
		Equation: "lesser of weir 2/3 Cw π d √(2g) h^1.5 and orifice Co A √(2 g h)",
		Source:   "drop-pipe spillway practice, USBR Design of Small Dams, coefficients from memory, handbook.csv SP, recomputed", Tolerance: 1e-6})
	book := handbook(t)
	const crest = 0.5
	var n water.Network
	tank := n.Tank("tank", 3, water.Upright(0.4))
	standpipe := n.Standpipe("overflow", tank, water.Standpipe{Crest: crest, Bore: 0.040})
	s, err := n.Compile()
	require.NoError(t, err)
	outflow := func(depth float64) float64 {
		s.Hold(tank, crest+depth)
		require.NoError(t, s.Solve())
		return s.Outflow(standpipe)
	}
	for _, id := range []string{"SP1", "SP2", "SP5"} {
		depth := inputs(t, book[id][3])["h"]
		check.Near(number(t, book[id][5])/60000, outflow(depth), "%s: %s", id, book[id][3])
	}
	change := number(t, book["SP6"][5])
	for _, id := range []string{"SP3", "SP4"} { // the weir formula beyond the changeover, where the orifice counts
		depth := inputs(t, book[id][3])["h"]
		assert.Greater(t, depth, change)
		weir := number(t, book[id][5]) / 60000
		assert.Less(t, outflow(depth), weir, id)
		orifice := number(t, book["SP5"][5]) / 60000 * math.Sqrt(depth/0.040)
		check.Near(orifice, outflow(depth), "%s", id)
	}
	assert.InEpsilon(t, outflow(change*(1-1e-9)), outflow(change*(1+1e-9)), 1e-8, "no jump at the changeover")
	assert.Zero(t, outflow(0), "at the crest")
	assert.Zero(t, outflow(-0.1), "below the crest")

	full := outflow(0.03)
	s.SetOpen(standpipe, 0.25)
	assert.InEpsilon(t, full/4, outflow(0.03), 1e-9, "three quarters blocked")
	s.SetOpen(standpipe, 0)
	assert.Zero(t, outflow(0.03), "blocked")
	s.SetOpen(standpipe, 1)
	assert.InEpsilon(t, full, outflow(0.03), 1e-9, "free again")
}

// Rows CF: Christiansen's factor, the loss along a lateral of equal outlets
// over that of the full flow along the full length, for the exponents 1.852
// (Hazen and Williams) and 2 (fittings). Rows x are exact and h too, with the
// first outlet at half a spacing (Jensen and Fratini, 1957); rows t are printed
// with three decimals; rows f are Christiansen's approximation, whose error is
// known to fall with the third power of the number of outlets.
func TestHandbookMultipleOutlets(t *testing.T) {
	exact := accuracy.New(t, accuracy.Row{Computation: "laterals, loss against the exact sum",
		Equation: "F = Σ k^m / N^(m+1), first outlet at a whole or half spacing",
		Source:   "M. C. Jensen and A. M. Fratini (1957), handbook.csv CF x and h, recomputed", Tolerance: 1e-6})
	printed := accuracy.New(t, accuracy.Row{Computation: "laterals, loss against Christiansen's printed factors",
		Equation:  "table of F for m = 1.852 and 2",
		Source:    "J. E. Christiansen, Bulletin 670 (1942), three decimals, handbook.csv CF t, from memory",
		Tolerance: 5.01e-4, Unit: "(absolute)"})
	approximate := accuracy.New(t,
		accuracy.Row{Computation: "laterals, loss against Christiansen's formula, N of 5 and more",
			Equation: "F = 1/(m+1) + 1/(2N) + √(m-1)/(6N²)",
			Source:   "J. E. Christiansen, Bulletin 670 (1942), handbook.csv CF f, recomputed", Tolerance: 1e-4,
			Unit: "(absolute)"})
	book := handbook(t)
	checked := 0
	for _, law := range []struct {
		name string
		pipe water.Pipe
	}{
		{"CF1.852_", water.Pipe{Bore: 0.0136, HazenWilliams: 150}},
		{"CF2_", water.Pipe{Bore: 0.0136, Length: 1e-9, HazenWilliams: 150}},
	} {
		for _, outlets := range []string{"1", "2", "5", "10", "20", "25", "50"} {
			count := int(number(t, outlets))
			factor := lateralFactor(t, law.pipe, count, 1)
			for _, kind := range []string{"x", "h", "t", "f"} {
				row := book[law.name+outlets+kind]
				if row == nil {
					continue
				}
				checked++
				want := number(t, row[5])
				switch kind {
				case "x":
					exact.Near(want, factor, "%s %s", row[0], row[3])
				case "h":
					exact.Near(want, lateralFactor(t, law.pipe, count, 0.5), "%s %s", row[0], row[3])
				case "t":
					printed.Near(want, factor, "%s %s", row[0], row[7])
				case "f":
					if count >= 5 {
						approximate.Near(want, factor, "%s %s", row[0], row[3])
					}
					assert.InDelta(t, want, factor, 0.005/math.Pow(number(t, outlets), 3)+1e-6, "%s %s", row[0], row[3])
				}
			}
		}
	}
	assert.Equal(t, 48, checked, "rows of the handbook that were checked")
}

// lateralFactor measures the factor of a lateral with its first outlet at a
// share of the spacing, 2 m. A pipe of next to no length loses by its fittings
// alone, 10 velocity heads to a metre.
func lateralFactor(t *testing.T, pipe water.Pipe, count int, first float64) float64 {
	t.Helper()
	const draw, spacing = 1e-5, 2
	reach := func(length float64) water.Pipe {
		if pipe.Length > 0 {
			pipe.Minor = 10 * length
			return pipe
		}
		whole := pipe
		whole.Length = length
		return whole
	}
	var n water.Network
	at := n.Reservoir("source", 0)
	for i := range count {
		next := n.Junction("outlet", 0, draw)
		length := float64(spacing)
		if i == 0 {
			length *= first
		}
		n.Pipe("segment", at, next, reach(length))
		at = next
	}
	s, err := n.Compile()
	require.NoError(t, err)
	require.NoError(t, s.Solve())
	whole := spacing * (float64(count) - 1 + first)
	return -s.Head(at) / loss(t, water.Standard(), reach(whole), draw*float64(count))
}
