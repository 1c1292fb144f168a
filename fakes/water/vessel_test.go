package water_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/accuracy"
	"ullage/fakes/water"
)

// Rows LC: the share of a lying cylinder that is filled at a share of its diameter.
func TestHandbookLyingCylinder(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{
		Computation: "water in a cylinder on its side, by its level",
		Equation:    "length r² (a − sin a cos a), cos a = (r − level) / r",
		Source:      "mensuration of the circle, as tables of partly filled horizontal cylinders; handbook.csv rows LC (recomputed by integrating the chord)",
		Tolerance:   1e-7,
	})
	tank := water.Lying{Length: 2, Diameter: 1.1}
	whole := math.Pi / 4 * tank.Diameter * tank.Diameter * tank.Length
	for id, row := range handbook(t) {
		if text, ok := strings.CutPrefix(id, "LC_"); ok {
			share, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			c.Near(number(t, row[5]), tank.Volume(share*tank.Diameter)/whole, "the filled share at %g of the diameter",
				share)
		}
	}
	assert.InEpsilon(t, whole, tank.Volume(tank.Diameter), 1e-12, "full")
	assert.Zero(t, tank.Volume(0), "empty")
}

// vessels are one of each kind; the table has narrow and wide parts, as a tank with a step and a neck.
func vessels() map[string]water.Vessel {
	return map[string]water.Vessel{
		"upright": water.Upright(0.5),
		"lying":   water.Lying{Length: 1.5, Diameter: 1.2},
		"cushion": water.Cushion{Size: 0.018, Charge: 0.5, Air: 1, Atmosphere: 10.35, Give: 2e-6},
		"table":   water.Table{Levels: []float64{0, 0.1, 0.4, 0.5, 1.2}, Volumes: []float64{0, 0.01, 0.25, 0.26, 0.7}},
	}
}

// Whatever the shape: the volume grows, the level is its inverse, the area its slope, also below the floor and above.
func TestVesselsAreConsistent(t *testing.T) {
	for name, v := range vessels() {
		t.Run(name, func(t *testing.T) {
			assert.Zero(t, v.Volume(0), "an empty tank holds something")
			assert.InDelta(t, 0, v.Level(0), 1e-15)
			rapid.Check(t, func(t *rapid.T) {
				level := rapid.Float64Range(-0.5, 2).Draw(t, "level")
				volume := v.Volume(level)
				require.InDelta(t, level, v.Level(volume), 1e-12, "the level of the volume at %v m", level)
				require.InDelta(t, volume, v.Volume(v.Level(volume)), 1e-14, "the volume at the level of %v m³", volume)
				const step = 1e-6
				for _, kink := range water.Kinks(v) {
					if math.Abs(level-kink) < 2*step {
						return
					}
				}
				slope := (v.Volume(level+step) - v.Volume(level-step)) / (2 * step)
				require.InDelta(t, slope, v.Area(level), 1e-6*math.Max(1, slope/math.Max(level, 1e-3)),
					"the area at %v m", level)
				require.Greater(t, v.Volume(level+step), volume, "more level must be more volume")
			})
		})
	}
}

// Over any step, from any volume, with any flow: the volume that comes out is the one that the flows make, and the
// level is that of the volume.
func TestAnyVesselFillsByTheFlowsOfTheSolve(t *testing.T) {
	for name, v := range vessels() {
		t.Run(name, func(t *testing.T) {
			var n water.Network
			tank := n.Tank("tank", 1, v)
			hole := n.Emitter("hole", tank, water.Emitter{Coefficient: 2e-4, Exponent: 0.5})
			rim := n.Weir("rim", tank, water.Weir{Crest: 1, Length: 2})
			s := compiled(t, &n)
			rapid.Check(t, func(t *rapid.T) {
				volume := rapid.Float64Range(1e-6, v.Volume(1.05)).Draw(t, "volume")
				inflow := rapid.Float64Range(-1e-3, 5e-3).Draw(t, "inflow")
				half := math.Pow(10, rapid.Float64Range(-9, 4).Draw(t, "log of half"))
				s.Fill(tank, volume, inflow, half)
				require.NoError(t, s.Solve())
				out := s.Outflow(hole) + s.Outflow(rim)
				require.InDelta(t, -out, s.NetInflow(tank), 1e-12)
				want := volume + half*(inflow-out)
				require.InDelta(t, want, s.Volume(tank), 1e-9+half*1e-11, "%v m³ after %v s", volume, half)
				require.LessOrEqual(t, s.Iterations(), 40)
			})
		})
	}
}

// Rows LD: a lying cylinder drains through a hole at its lowest line. Steps of 30 s by the trapezoidal rule.
func TestHandbookLyingCylinderDrains(t *testing.T) {
	book, k := handbook(t), water.Standard()
	const step = 30.0
	var n water.Network
	tank := n.Tank("tank", 0, water.Lying{Length: 2, Diameter: 1})
	n.Emitter("hole", tank, water.Emitter{Coefficient: 0.62 * math.Pi / 4 * 0.01 * 0.01 * math.Sqrt(2*k.Gravity),
		Exponent: 0.5})
	s := compiled(t, &n)
	s.Hold(tank, 0.8)
	solve(t, s)
	volume, inflow, checked := s.Volume(tank), s.NetInflow(tank), 0
	for at := step; at <= 5400; at += step {
		s.Fill(tank, volume, inflow, step/2)
		solve(t, s)
		volume, inflow = s.Volume(tank), s.NetInflow(tank)
		if row := book[fmt.Sprintf("LD_%.0f", at)]; row != nil {
			assert.InDelta(t, number(t, row[5]), s.Height(tank), 2e-6, row[0])
			checked++
		}
	}
	assert.Equal(t, 4, checked)
}

// Row WR1: a notch in the wall is a weir.
func TestHandbookWeir(t *testing.T) {
	row := handbook(t)["WR1"]
	c := accuracy.New(t, accuracy.Row{
		Computation: "flow over a weir",
		Equation:    "2/3 Cd width √(2g) h^1.5, Cd 0.62 (Poleni)",
		Source:      "textbook weir formula (Rehbock 1929, ISO 1438); handbook.csv row WR1 (from memory)",
		Tolerance:   1e-6,
	})
	var n water.Network
	tank := n.Tank("tank", 0, water.Upright(1))
	notch := n.Weir("weir", tank, water.Weir{Crest: 0.3, Length: 0.1})
	s := compiled(t, &n)
	s.Hold(tank, 0.32)
	solve(t, s)
	c.Near(number(t, row[5])/60000, s.Outflow(notch), "the flow 20 mm over a notch of 100 mm")
}
