package site_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/harness/signal"
)

// pressureSet is a pump with a pressure switch that feeds one opening from a tank that does not run empty.
func pressureSet(vessel string) string {
	return `site: pressure set
tanks:
  - {name: tank, length: 2 m, width: 2 m, rim: 1 m, starts: 900 mm}
pumps:
  - {name: set, from: tank, curve: [{flow: 0 L/min, head: 42 m}, {flow: 20 L/min, head: 34 m}, {flow: 35 L/min, head: 18 m}], dry-below: 50 mm, ` +
		vessel + `, pull-in: 8 V, drop-out: 3 V, coil: 60 ohm}
outlets:
  - {name: nozzle, from: set, flow: 2 L/min, at: 2 bar}
` + controllerOf([]string{"set"}, nil)
}

const switched = "pressure-switch: {cut-in: 1.5 bar, cut-out: 3 bar, vessel: 18 L, charge: 1.35 bar"

// What a vessel gives between cut-out and cut-in is known from the gas law: size (charge + atm) (1/(in + atm) - 1/(out
// + atm)); makers' tables of the useful volume of pressure vessels are this formula. The pipes give 2 mL a metre of
// water.
func TestPressureVesselGivesWhatTheGasLawSays(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{
		Computation: "water that a pressure vessel gives between cut-out and cut-in",
		Equation:    "pressure × volume of the air constant, as a vessel of the network",
		Source:      "Boyle 1662: size (charge + atm) (1/(in + atm) − 1/(out + atm)), as makers' tables of the useful volume (formula from memory, recomputed)",
		Tolerance:   1e-6,
	})
	for _, v := range []struct{ air, charge float64 }{{1, 1.35e5}, {0.8, 1.35e5}, {0.05, 1.35e5}} {
		r := open(t, read(t, pressureSet(fmt.Sprintf("%s, air: %g %%}", switched, v.air*100))))
		r.drive("set", true)
		r.run(5 * signal.Minute)
		r.end()
		on, off := r.changes("set.running", 1), r.changes("set.running", 0)[1:] // the first is the beginning of the run
		require.GreaterOrEqual(t, len(on), 2, "the pump must start again by its switch")
		const atm, perMetre = 101325, 998.2 * 9.80665
		want := v.air*0.018*(v.charge+atm)*(1/(1.5e5+atm)-1/(3e5+atm)) + 2e-6*1.5e5/perMetre
		c.Near(want, r.at("set.stored", off[0])-r.at("set.stored", on[1]),
			"the water between the pressures with %g of the air", v.air)
		out, err := r.site.Balance(r.trace)
		require.NoError(t, err)
		assert.InDelta(t, 0, out, 1e-6)
	}
}

// A vessel that has lost its air lets the pump chatter: the starts are as many times more as there is less air.
func TestWaterloggedVesselChatters(t *testing.T) {
	starts := map[float64]int{}
	for _, air := range []float64{100, 10} {
		r := open(t, read(t, pressureSet(fmt.Sprintf("%s, air: %g %%}", switched, air))))
		r.drive("set", true)
		r.run(2 * signal.Hour)
		r.end()
		starts[air] = len(r.changes("set.running", 1))
		id, _ := r.trace.Find("set.stored")
		assert.Less(t, len(r.trace.Column(id).At), 60*starts[air], "too many steps for each cycle")
		assert.Zero(t, r.last("set.dry"))
	}
	t.Logf("starts in two hours by per cent of the air: %v", starts)
	const gives, pipes = 6.31e-3, 3e-5 // m³ between the pressures: the vessel with all its air, and the pipes
	assert.InEpsilon(t, float64(starts[100])*(gives+pipes)/(gives/10+pipes), starts[10], 0.05)
	r := open(t, read(t, pressureSet(switched+"}")))
	r.run(signal.Hour)
	r.end()
	assert.LessOrEqual(t, len(r.changes("set.running", 1)), 0, "a pressure set without power does not run")
	assert.InDelta(t, 0, r.last("nozzle.flow"), 1e-7, "and its vessel empties by the opening")
}
