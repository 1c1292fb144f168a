package site_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
)

// tankOnly is a tank of 1 m x 0.5 m with its contacts and nothing else.
func tankOnly(starts string) string {
	return `site: tank
tanks:
  - {name: tank, length: 1 m, width: 500 mm, rim: 880 mm, standpipe: {crest: 800 mm, bore: 40 mm}, starts: ` + starts + `}
contacts:
  - {name: low, in: tank, operates: 250 mm, releases: 280 mm, normally: open}
  - {name: high, in: tank, operates: 720 mm, releases: 690 mm, normally: open}
` + controllerOf(nil, []string{"low", "high"})
}

// A level that rises or falls evenly meets a contact's level at a moment that is known on paper; the contact must
// change at the first nanosecond that is not before it.
func TestContactOperatesAtTheNanosecond(t *testing.T) {
	for _, c := range []struct {
		knob    string
		flow    float64 // m³/s
		contact string
		state   float64
		travel  float64 // m from 600 mm
	}{
		{"inflow", 5e-4, "high", 1, 0.12},
		{"inflow", 1.234567e-5, "high", 1, 0.12},
		{"draw", 5e-4, "low", 1, 0.35},
		{"draw", 3.21e-5, "low", 1, 0.35},
	} {
		t.Run(fmt.Sprintf("%s of %g", c.knob, c.flow), func(t *testing.T) {
			r := open(t, read(t, tankOnly("600 mm")))
			r.open("tank", c.knob, c.flow)
			want := c.travel * 0.5 / c.flow * 1e9 // ns
			r.run(signal.Time(want) + signal.Second)
			r.end()
			got := r.changes(c.contact+".operated", c.state)
			require.Len(t, got, 1, "%s must operate once", c.contact)
			assert.InDelta(t, want, float64(got[0]), 1+want*4e-16*4,
				"%s operates at another moment than the level is there", c.contact)
			if got[0] < signal.Time(1e15) { // the doubles of the model resolve the nanosecond
				level := 0.6 + c.travel*math.Copysign(1, map[string]float64{"inflow": 1, "draw": -1}[c.knob])
				assert.InDelta(t, level, r.at("tank.level", got[0]), 1e-9, "the level is elsewhere when %s operates",
					c.contact)
			}
		})
	}
}

func TestContactStartsWhereTheLevelPutsIt(t *testing.T) {
	for _, c := range []struct {
		starts    string
		low, high float64
	}{
		{"250 mm", 1, 0}, {"265 mm", 0, 0}, {"280 mm", 0, 0}, {"720 mm", 0, 1}, {"700 mm", 0, 0}, {"0 mm", 1, 0},
		{"880 mm", 0, 1},
	} {
		r := open(t, read(t, tankOnly(c.starts)))
		assert.Equal(t, []float64{c.low, c.high}, []float64{r.at("low.operated", 0), r.at("high.operated", 0)},
			"with the level at %s the contacts low and high stand wrong", c.starts)
	}
}

// A level that comes back through the hysteresis makes one change at each threshold.
func TestHysteresisTakesBothThresholds(t *testing.T) {
	r := open(t, read(t, tankOnly("300 mm")))
	for i, knob := range []string{"draw", "inflow", "draw", "inflow"} {
		r.open("tank", knob, 5e-4)
		r.run(signal.Time(i+1) * 70 * signal.Second) // 70 mm
		r.close("tank", knob, 5e-4)
	}
	assert.Len(t, r.changes("low.operated", 1), 2, "low operates on each way down and not in between")
	assert.Len(t, r.changes("low.operated", 0), 3, "low releases on each way up and not in between")
}

// Torricelli's drain: a cylinder of 1 m, 1.2 m of water, an opening of 10 mm with a discharge coefficient of 0.62;
// empty after T = 2 A sqrt(h0) / (Cd a sqrt(2 g)) = 7979.09422 s, level h0 (1 - t/T)² (testdata/reference/hydraulics,
// handbook.csv rows TD1 and TD_600 to TD_7200).
func TestTankDrainsAsTorricelliSays(t *testing.T) {
	// the opening as an outlet: Cd a sqrt(2 g h) at 1 bar, with the density that the network is solved with
	flow := 0.62 * math.Pi / 4 * 0.01 * 0.01 * math.Sqrt(2*1e5/998.2)
	r := open(t, read(t, fmt.Sprintf(`site: drain
tanks:
  - {name: tank, diameter: 1 m, rim: 1300 mm, starts: 1200 mm}
outlets:
  - {name: opening, from: tank, flow: %.12g L/min, at: 1 bar, exponent: 0.5}
`, flow/litrePerMinute)+controllerOf([]string{}, nil)))
	handbook := []struct{ after, level float64 }{
		{600, 1.0263138}, {1800, 0.719653918}, {3600, 0.361445347}, {5400, 0.125374287}, {7200, 0.0114407377},
	}
	for _, h := range handbook {
		r.run(signal.FromSeconds(h.after))
	}
	r.run(3 * signal.Hour)
	r.end()
	for _, h := range handbook {
		// the trace runs in straight lines that miss the parabola by 2e-5 m
		assert.InDelta(t, h.level, r.at("tank.level", signal.FromSeconds(h.after)), 2.1e-5,
			"the level after %g s is not that of the handbook", h.after)
	}
	id, _ := r.trace.Find("tank.level")
	column := r.trace.Column(id)
	empty := signal.Never
	for i, level := range column.Value {
		assert.GreaterOrEqual(t, level, -1e-12, "the tank holds less than nothing at %v", column.At[i])
		if level < 1e-6 {
			empty = min(empty, column.At[i])
		}
	}
	assert.InDelta(t, 7979.09422, empty.Seconds(), 30, "the tank runs empty at another time than Torricelli's")
	assert.Zero(t, r.last("opening.flow"), "an empty tank still gives water")
	assert.Less(t, len(column.At), 800, "draining takes too many steps")
}

func emptying(t *testing.T) *rig {
	return open(t, read(t, `site: butt
tanks:
  - {name: butt, floor: 1 m, length: 500 mm, width: 500 mm, rim: 900 mm, starts: 5 mm}
pipes:
  - {name: hose, from: butt, length: 4 m, bore: 12 mm, height: 100 mm}
outlets:
  - {name: end, from: hose, bore: 10 mm, height: 100 mm}
`+controllerOf(nil, nil)))
}

// A tank that is emptied by a hose while a little comes in gives water by fits and starts; it must neither go below its
// floor nor keep the run from going on.
func TestEmptyTankWithATrickleGoesOn(t *testing.T) {
	r := emptying(t)
	r.open("butt", "inflow", 1*litrePerMinute)
	r.run(signal.Hour)
	r.end()
	id, _ := r.trace.Find("butt.level")
	for i, level := range r.trace.Column(id).Value {
		require.GreaterOrEqual(t, level, -1e-9, "the butt holds less than nothing at %v", r.trace.Column(id).At[i])
	}
	out, err := r.site.Balance(r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-6, "water is lost or made at the floor of the tank")
	assert.Less(t, r.last("butt.level"), 5e-3, "what comes in must leave by the hose")
}

// Somebody draws more than there is: the tank empties and then gives what comes in.
func TestDrawFromAnEmptyTank(t *testing.T) {
	r := open(t, read(t, tankOnly("20 mm")))
	r.open("tank", "draw", 20*litrePerMinute)
	r.run(2 * signal.Minute)
	assert.InDelta(t, 0, r.last("tank.level"), 1e-9, "the tank holds less than nothing, or has not run empty")
	assert.Zero(t, r.last("tank.draw"), "nothing can be drawn from an empty tank")
	r.open("tank", "inflow", 5*litrePerMinute)
	r.run(5 * signal.Minute)
	assert.InDelta(t, 5*litrePerMinute, r.last("tank.draw"), 1e-12, "what comes into an empty tank is drawn at once")
	r.close("tank", "draw", 20*litrePerMinute)
	r.run(6 * signal.Minute)
	r.end()
	assert.InDelta(t, 5e-3/0.5, r.last("tank.level"), 1e-9, "the tank must fill when nobody draws")
	out, err := r.site.Balance(r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-9)
}
