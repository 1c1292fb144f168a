package site_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/pipework"
	"ullage/fakes/site"
	"ullage/harness/signal"
)

// shapes are tanks whose area is not the same at all levels.
var shapes = map[string]string{
	"lying": "length: 2 m, diameter: 1 m",
	"table": "table: [{level: 0 mm, volume: 0 L}, {level: 200 mm, volume: 30 L}, {level: 500 mm, volume: 330 L}, {level: 600 mm, volume: 340 L}, {level: 1 m, volume: 500 L}]",
}

// shaped is such a tank with a contact near its floor and one near its rim.
func shaped(shape, more string) string {
	return `site: shaped
tanks:
  - {name: tank, ` + shape + `, rim: 950 mm, ` + more + `}
contacts:
  - {name: low, in: tank, operates: 150 mm, releases: 180 mm, normally: open}
  - {name: high, in: tank, operates: 820 mm, releases: 790 mm, normally: open}
` + controllerOf(nil, []string{"low", "high"})
}

// With an even flow the volume at every moment is known on paper: a contact changes at the nanosecond at which the
// level of that volume is there, and the straight lines of the trace miss the level by no more than they may.
func TestTanksOfAnyShapeFillByTheirShape(t *testing.T) {
	for name, shape := range shapes {
		for _, flow := range []float64{4e-4, 1.234567e-5} {
			t.Run(fmt.Sprintf("%s at %g", name, flow), func(t *testing.T) {
				r := open(t, read(t, shaped(shape, "starts: 100 mm")))
				vessel := pipework.Vessel(r.spec.Tanks[0])
				r.open("tank", "inflow", flow)
				travel := func(level float64) float64 { return (vessel.Volume(level) - vessel.Volume(0.1)) / flow }
				r.run(signal.FromSeconds(travel(0.9)))
				r.end()
				for contact, c := range map[string]struct{ state, level float64 }{"low": {0, 0.18}, "high": {1, 0.82}} {
					got := r.changes(contact+".operated", c.state)
					require.Len(t, got, 1, "%s must change once", contact)
					want := travel(c.level) * 1e9
					assert.InDelta(t, want, float64(got[0]), 2+want*1e-12,
						"%s changes at another moment than the level is there", contact)
				}
				for _, share := range []float64{0.01, 0.1, 0.33, 0.5, 0.77, 0.99} {
					at := share * travel(0.9)
					want := vessel.Level(vessel.Volume(0.1) + flow*at)
					assert.InDelta(t, want, r.at("tank.level", signal.FromSeconds(at)), 2.1e-5, "the level after %g s",
						at)
				}
				out, err := r.site.Balance(r.trace)
				require.NoError(t, err)
				assert.InDelta(t, 0, out, 1e-9, "the water does not balance by the shape of the tank")
			})
		}
	}
}

// Rows LD1 and LD_600 to LD_5400 of handbook.csv: a lying cylinder of 1 m x 2 m drains from 0.8 m through a hole of 10
// mm at its lowest line.
func TestLyingTankDrainsByTheHandbook(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{
		Computation: "level of a lying cylinder that drains through a hole",
		Equation:    "Torricelli's orifice into dV/dt = −q, trapezoidal steps with error control",
		Source:      "(D − h)^1.5 = (D − h0)^1.5 + 3 k t / (4 L), integrated from Torricelli 1643; handbook.csv rows LD (recomputed, checked by Runge-Kutta)",
		Tolerance:   1e-4,
		Unit:        "m",
	})
	r := open(t, read(t, shaped(shapes["lying"], "starts: 800 mm")))
	r.open("tank", "hole", math.Pi/4*0.01*0.01)
	r.run(4 * signal.Hour)
	r.end()
	for _, h := range []struct{ after, level float64 }{{600, 0.732999424}, {1800, 0.619177191}, {3600, 0.474837553},
		{5400, 0.348269048}} {
		c.Near(h.level, r.at("tank.level", signal.FromSeconds(h.after)), "the level after %g s", h.after)
	}
	empty := signal.Never
	id, _ := r.trace.Find("tank.level")
	column := r.trace.Column(id)
	for i, level := range column.Value {
		require.GreaterOrEqual(t, level, -1e-9)
		if level < 1e-4 {
			empty = min(empty, column.At[i])
		}
	}
	assert.InDelta(t, 11259.5, empty.Seconds(), 40, "the tank runs empty at another time")
	assert.Less(t, len(column.At), 1500, "draining takes too many steps")
	assert.InDelta(t, r.at("tank.leaked", signal.Never), pipework.Vessel(r.spec.Tanks[0]).Volume(0.8), 2e-4,
		"the litres that leaked")
}

// Rows TD1 and TD_600 to TD_7200: the upright cylinder, by the leak of the tank.
func TestLeakIsAHoleUnderTheLevel(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{
		Computation: "level of a tank that leaks",
		Equation:    "q = Cd A √(2 g h), Cd 0.62, implicit steps with error control",
		Source:      "Torricelli 1643, h = h0 (1 − t/T)²; handbook.csv rows TD (recomputed)",
		Tolerance:   3e-5,
		Unit:        "m",
	})
	r := open(
		t,
		read(
			t,
			"site: leak\ntanks:\n  - {name: tank, diameter: 1 m, rim: 1300 mm, starts: 1200 mm}\n"+controllerOf(
				nil,
				nil,
			),
		),
	)
	r.open("tank", "hole", math.Pi/4*0.01*0.01)
	r.run(2*signal.Hour + signal.Minute)
	r.end()
	for _, h := range []struct{ after, level float64 }{{600, 1.0263138}, {1800, 0.719653918}, {3600, 0.361445347},
		{5400, 0.125374287}, {7200, 0.0114407377}} {
		c.Near(h.level, r.at("tank.level", signal.FromSeconds(h.after)), "the level after %g s", h.after)
	}
}

// A hole above the floor leaves what stands below it.
func TestLeakStopsAtTheHeightOfItsHole(t *testing.T) {
	r := open(t, read(t, tankOnly("300 mm")))
	r.open("tank", "hole", math.Pi/4*0.02*0.02)
	r.open("tank", "hole height", 0.2)
	r.run(2 * signal.Hour)
	r.end()
	assert.InDelta(t, 0.2, r.last("tank.level"), 1e-4, "the leak does not end at its hole")
	assert.InDelta(t, 0.05, r.last("tank.leaked"), 1e-4)
	assert.InDelta(t, 0.05, r.last("site.lost"), 1e-4, "what leaks is lost")
}

// A notch of 100 mm: 33.7 L/min stand 20 mm high over it (overflows.csv has its law, TestNotchesAgainstTheStandard).
func TestWeirStandsAtTheWeirEquation(t *testing.T) {
	r := open(t, read(t, "site: weir\ntanks:\n  - {name: tank, diameter: 500 mm, rim: 500 mm, "+
		"weir: {crest: 300 mm, width: 100 mm}, starts: 290 mm}\n"+controllerOf(nil, nil)))
	notch := func(head float64) float64 {
		return 2.0 / 3 * 0.587 * math.Sqrt(2*9.80665) * 0.1024 * math.Pow(head+0.001, 1.5)
	}
	r.open("tank", "inflow", notch(0.02))
	r.run(2 * signal.Hour)
	assert.InDelta(t, 0.320, r.last("tank.level"), 1e-5, "the water stands at another height over the weir")
	r.open("tank", "weir", 0.5)
	r.run(4 * signal.Hour)
	r.end()
	assert.InDelta(t, notch(0.02), notch(r.last("tank.level")-0.3)/2, 1e-6, "half a weir needs more depth")
	assert.InDelta(t, r.last("tank.overflowed"), r.last("site.lost"), 1e-12)
	out, err := site.Balance(r.spec, r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-9)
}

// What people take at times of day begins and ends at the minute, also over midnight and over several days.
func TestDrawsByTimeOfDay(t *testing.T) {
	const draws = `draws: [{from: "07:00", to: "07:30", flow: 1 L/min}, {from: "07:15", to: "07:20", flow: 2 L/min}, {from: "23:30", to: "00:30", flow: 0.5 L/min}]`
	text := "site: draws\ntanks:\n  - {name: tank, length: 1 m, width: 1 m, rim: 1 m, starts: 900 mm, " + draws +
		"}\n" + controllerOf(nil, nil)
	r := open(t, read(t, text))
	r.run(2 * signal.Day)
	r.end()
	for _, c := range []struct {
		at   signal.Time
		flow float64 // L/min
	}{
		{0, 0.5}, {30*signal.Minute - 1, 0.5}, {31 * signal.Minute, 0}, {7*signal.Hour + 1, 1},
		{7*signal.Hour + 16*signal.Minute, 3},
		{7*signal.Hour + 25*signal.Minute, 1}, {8 * signal.Hour, 0}, {23*signal.Hour + 40*signal.Minute, 0.5},
		{31*signal.Hour + 5*signal.Minute, 1},
	} {
		assert.InDelta(t, c.flow*litrePerMinute, r.at("tank.draw", c.at), 1e-12, "the draw at %v", c.at)
	}
	const taken = 2 * (30 + 2*5 + 30) // L on each whole day: two half-hours around midnight make one hour of 0.5 L/min
	assert.InDelta(t, 0.9-taken*1e-3, r.last("tank.level"), 1e-9, "two days have taken another amount")
	assert.Less(t, func() int { id, _ := r.trace.Find("tank.level"); return len(r.trace.Column(id).At) }(), 120,
		"too many steps for a tank at rest")
}
