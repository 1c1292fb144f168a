package flows_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A pressure set with little to do cycles: its outlets get the pressure in the middle. With much to do it runs for
// good, where its curve meets the nozzles, which the test finds by halving.
func TestPressureSet(t *testing.T) {
	const perMetre, litre = 998.2 * 9.80665, 1e-3 / 60
	for _, nozzles := range []int{2, 12, 30} {
		water := fmt.Sprintf(`tanks: [{name: cistern, diameter: 1.2 m, rim: 1300 mm, starts: 900 mm}]
pumps:
  - {name: set, from: cistern, curve: [{flow: 0 L/min, head: 40 m}, {flow: 40 L/min, head: 10 m}], dry-below: 60 mm, pressure-switch: {cut-in: 1.5 bar, cut-out: 3 bar, vessel: 18 L}, %s}
outlets: [{name: nozzles, from: set, count: %d, flow: 2 L/min, at: 2 bar}]
`, coil, nozzles)
		alone := set(
			t,
			of(t, read(t, water, []string{"set"}, nil, `    programmes: [{zone: set, starts: ["06:00"], run: 10 min}]
`)),
			"set",
		)
		pump, out := part(t, alone, "set"), part(t, alone, "nozzles")
		draws := func(pascal float64) float64 { return float64(nozzles) * 2 * litre * math.Sqrt(pascal/2e5) }
		want := 2.25e5
		// at a pressure behind it, the suction with its Kv of 20 m³/h before it
		if gives := func(pascal float64) float64 {
			low, high := 0.0, 1.0
			for range 100 {
				q := (low + high) / 2
				if 40-30*math.Pow(q/(40*litre), 2)+0.9-1e5/perMetre*math.Pow(q*3600/20, 2) > pascal/perMetre {
					low = q
				} else {
					high = q
				}
			}
			return low
		}; gives(3e5) < draws(3e5) {
			low, high := 0.0, 3e5
			for range 100 {
				want = (low + high) / 2
				if gives(want) > draws(want) {
					low = want
				} else {
					high = want
				}
			}
			assert.Nil(t, pump.Switches, "with %d nozzles it never comes to its cut-out pressure", nozzles)
		} else {
			assert.NotNil(t, pump.Switches, "with %d nozzles it cycles", nozzles)
		}
		assert.InEpsilon(t, want, float64(pump.Pressure), 1e-6, "the pressure behind the set with %d nozzles", nozzles)
		assert.InEpsilon(t, draws(want), float64(out.Flow), 1e-6, "the flow of %d nozzles", nozzles)
		assert.InEpsilon(t, draws(want), float64(pump.Flow), 1e-6, "what the set gives on the mean to %d nozzles",
			nozzles)
		assert.False(t, pump.Against)
	}
}
