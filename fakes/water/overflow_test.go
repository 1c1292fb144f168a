package water_test

import (
	"encoding/csv"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/water"
)

// overflowRow is a row of overflows.csv: a law, a pipe or notch, and what flows at a head.
type overflowRow struct {
	size, run, fall float64 // bore in m, width in m or angle in degrees; m
	head, flow      float64 // m, m³/s
}

func overflowRows(t *testing.T, law string) (rows []overflowRow) {
	file, err := os.Open("../../testdata/reference/hydraulics/overflows.csv")
	require.NoError(t, err)
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	for _, line := range lines {
		if line[0] == law {
			rows = append(rows, overflowRow{size: number(t, line[1]), run: number(t, line[2]),
				fall: number(t, line[3]) / 1e3, head: number(t, line[4]) / 1e3, flow: number(t, line[5]) / 60e3})
		}
	}
	require.NotEmpty(t, rows, law)
	return rows
}

func (r overflowRow) pipe() water.SideOutlet {
	return water.SideOutlet{Bore: r.size / 1e3, Run: r.run, Fall: r.fall}
}

func TestSideOutletsAgainstTheLaws(t *testing.T) {
	for law, row := range map[string]accuracy.Row{
		"critical": {Computation: "side outlet, part full at its entry",
			Equation:  "critical flow Q = A √(g A/b) at head y + A/(2b)",
			Source:    "critical flow in a round pipe, V. T. Chow 1959, section 4-4; overflows.csv, recomputed by halving",
			Tolerance: 2e-3},
		"orifice": {Computation: "side outlet under water", Equation: "Q = 0.60 A √(2 g (h - d/2))",
			Source: "orifice, textbook; overflows.csv, recomputed", Tolerance: 1e-3},
		"backwater": {Computation: "side outlet with a flat run",
			Equation: "direct step method from the critical depth at the free end, friction by Manning with n = 0.010; " +
				"0.5 velocity heads at a full entry",
			Source:    "gradually varied flow, V. T. Chow 1959, section 10-2; overflows.csv, recomputed in 3000 even steps",
			Tolerance: 0.05},
		"edge": {Computation: "side outlet against an opening in a thin wall", Equation: "as above",
			Source: "Q = 0.60 ∫ b(y) √(2 g (h - y)) dy, circular sharp-crested weir and orifice in one, textbook; " +
				"overflows.csv, integrated by the midpoint rule", Tolerance: 0.1},
		"culvert": {Computation: "side outlet against measured culverts", Equation: "as above",
			Source: "inlet control of a pipe with a square edge in a headwall, FHWA HDS-5, chart 1, K 0.0098, M 2, " +
				"c 0.0398, Y 0.67 (constants verified in public code); overflows.csv, solved by halving", Tolerance: 0.16},
	} {
		t.Run(law, func(t *testing.T) {
			check := accuracy.New(t, row)
			for _, r := range overflowRows(t, law) {
				check.Near(r.flow, r.pipe().Rating().Flow(r.head), "%g mm, run %g m, fall %g m, at %g m", r.size, r.run,
					r.fall, r.head)
			}
		})
	}
}

func TestNotchesAgainstTheStandard(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "notches, rectangular and triangular",
		Equation: "Q = 2/3 0.587 √(2g) (b + 2.4 mm) (h + 1 mm)^1.5; Q = 8/15 C tan(a/2) √(2g) (h + k)^2.5",
		Source: "Kindsvater and Carter, Kindsvater and Shen, ISO 1438, fully contracted (coefficients from memory); " +
			"overflows.csv, recomputed", Tolerance: 1e-3})
	for _, r := range overflowRows(t, "rectangle") {
		check.Near(r.flow, water.Notch{Width: r.size / 1e3}.Rating().Flow(r.head), "%g mm wide at %g m", r.size, r.head)
	}
	for _, r := range overflowRows(t, "triangle") {
		check.Near(r.flow, water.Notch{Angle: r.size * math.Pi / 180}.Rating().Flow(r.head), "%g degrees at %g m",
			r.size, r.head)
	}
}

// A pipe through the wall carries what an overflow pipe of its bore does only when it is under water.
func TestSideOutletCarriesFarLessThanAStandpipe(t *testing.T) {
	const litrePerMinute = 1 / 60e3
	side, upright := water.SideOutlet{Bore: 0.04}.Rating(), water.DropPipe{Bore: 0.04}.Rating()
	assert.InDelta(t, 8, side.Flow(0.019)/litrePerMinute, 1, "40 mm through the wall at 19 mm")
	assert.InDelta(t, 28, upright.Flow(0.019)/litrePerMinute, 1, "40 mm upright at 19 mm")
	for head := 1e-4; head < 1; head *= 1.2 {
		assert.Less(t, side.Flow(head), upright.Flow(head), "at %g m", head)
	}
}

// Whatever an overflow is, more head makes more flow; a longer, flatter or narrower pipe, or a poorer drain, never more.
func TestOverflowsAreMonotone(t *testing.T) {
	ratings := map[string][]*water.Rating{} // from the one that carries most
	for _, bore := range []float64{0.11, 0.05, 0.04, 0.019, 0.006} {
		ratings["bore"] = append(ratings["bore"], water.SideOutlet{Bore: bore}.Rating())
	}
	for _, run := range []float64{0, 0.3, 1, 5, 50} {
		ratings["run"] = append(ratings["run"], water.SideOutlet{Bore: 0.05, Run: run}.Rating())
		ratings["drop"] = append(ratings["drop"], water.DropPipe{Bore: 0.03, Run: run + 0.4, Fall: 0.4}.Rating())
	}
	for _, fall := range []float64{1, 0.1, 0.05, 0.02, 0.005, 0} {
		ratings["fall"] = append(ratings["fall"], water.SideOutlet{Bore: 0.05, Run: 4, Fall: fall}.Rating())
	}
	for _, takes := range []float64{0, 60, 10, 1, 0.01} {
		drain := water.Drain{Takes: takes / 60e3, Depth: 0.05}
		ratings["drain"] = append(ratings["drain"], water.SideOutlet{Bore: 0.05, Run: 1, Drain: drain}.Rating())
		ratings["drain of a standpipe"] = append(ratings["drain of a standpipe"],
			water.DropPipe{Bore: 0.05, Drain: drain}.Rating())
	}
	for what, list := range ratings {
		for i, rating := range list {
			before := 0.0
			for head := 1e-6; head < 9; head *= 1.01 {
				flow := rating.Flow(head)
				require.Greater(t, flow, before, "%s %d: no more flow at %g m", what, i, head)
				before = flow
				if i > 0 {
					require.LessOrEqual(t, flow, list[i-1].Flow(head)*(1+5e-3), "%s %d at %g m", what, i, head)
				}
			}
		}
	}
}

// The network finds the flow that the curve has, at the share that is open, and the drain holds it back.
func TestOverflowInANetwork(t *testing.T) {
	pipe := water.SideOutlet{Bore: 0.04, Run: 2, Fall: 0.05}
	var n water.Network
	tank := n.Tank("tank", 1, water.Upright(0.5))
	out := n.Overflow("side outlet", tank, water.Overflow{Crest: 0.8, Rating: pipe.Rating()})
	s, err := n.Compile()
	require.NoError(t, err)
	at := func(level float64) float64 {
		s.Hold(tank, level)
		require.NoError(t, s.Solve())
		return s.Outflow(out)
	}
	for _, depth := range []float64{-0.1, 0, 1e-7, 1e-4, 0.005, 0.019, 0.03, 0.041, 0.06, 0.2, 2} {
		assert.InDelta(t, pipe.Rating().Flow(depth), at(0.8+depth), 1e-9, "at %g m", depth)
	}
	s.SetOpen(out, 0.5)
	assert.InEpsilon(t, pipe.Rating().Flow(0.02)/2, at(0.82), 1e-6, "half of it open")
	pipe.Drain = water.Drain{Takes: 5 / 60e3, Depth: 0.05}
	s.SetRating(out, pipe.Rating(), 1)
	assert.InEpsilon(t, 5/60e3*math.Sqrt(1+0.06/0.05), at(0.86), 1e-3, "water backs up in the drain")
	s.SetRating(out, nil, 1)
	pipe.Drain = water.Drain{}
	assert.InEpsilon(t, pipe.Rating().Flow(0.06), at(0.86), 1e-6, "the drain takes it again")
}

// A tank fills to where its overflow carries what comes in, in steps of any length.
func TestTankComesToRestAtItsSideOutlet(t *testing.T) {
	rating := water.SideOutlet{Bore: 0.04}.Rating()
	for _, dt := range []float64{0.1, 10, 1000, 1e5} {
		var n water.Network
		tank := n.Tank("tank", 0, water.Upright(0.02))
		out := n.Overflow("side outlet", tank, water.Overflow{Crest: 0.3, Rating: rating})
		s, err := n.Compile()
		require.NoError(t, err)
		s.SetDraw(tank, -8/60e3)
		volume := 0.02 * 0.29
		for range 2000 {
			s.Fill(tank, volume, 0, dt)
			require.NoError(t, s.Solve(), "%g s", dt)
			volume = s.Volume(tank)
		}
		assert.InEpsilon(t, 8/60e3, s.Outflow(out), 1e-3, "%g s", dt)
		assert.InDelta(t, 0.3+0.0199, volume/0.02, 5e-4, "%g s", dt)
	}
}
