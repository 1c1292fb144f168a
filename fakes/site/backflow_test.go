package site_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/harness/signal"
)

// barrel is a barrel of 0.25 m² with the end of a hose 300 mm above its floor, fed from the mains by what the argument
// adds between them.
func barrel(from, between, end string) string {
	return `site: barrel
supplies:
  - {name: mains, static: 3 bar, residual: 2 bar, at: 20 L/min}
` + between + `
outlets:
  - {name: hose end, from: ` + from + `, height: 1.5 m, bore: 10 mm, into: barrel, ` + end + `}
tanks:
  - {name: barrel, length: 500 mm, width: 500 mm, rim: 900 mm, category: 4, starts: 600 mm}
` + controllerOf(nil, nil)
}

const (
	dipping   = "dips: 300 mm"
	preventer = "backflow-preventers:\n  - {name: preventer, from: mains, type: BA, category: 4, capacity: 3 m3/h}\n"
	check     = "non-return-valves:\n  - {name: check, from: mains, capacity: 3 m3/h}\n"
)

// What runs back at first: the barrel's head over the sucking mains is lost in the hose end, (q / (A √(2g)))², and in
// the mains, by its fire-flow test: 1 bar (q / 20 L/min)^(1/0.54). When the water has fallen to the hose end, it ends.
func TestMainsSucksABarrelDownToTheHoseEnd(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{
		Computation: "backflow out of a tank into a supply that sucks",
		Equation:    "level + suction = (q / (A √(2g)))² + loss of the mains at q",
		Source:      "Bernoulli with the exit loss of an open end; loss of the mains from its fire-flow test, exponent 1/0.54 (NFPA 291, from memory); solved by bisection in the test (recomputed)",
		Tolerance:   1e-6,
	})
	r := open(t, read(t, barrel("mains", "", dipping)))
	r.run(signal.Second)
	assert.Positive(t, r.last("hose end.flow"), "the hose fills the barrel")
	assert.Zero(t, r.last("mains.returned"))
	r.open("mains", "suction", 0.3e5)
	before := r.last("barrel.level")
	perMetre := 998.2 * 9.80665
	head := before + 0.3e5/perMetre
	low, high := 0.0, 0.01
	for range 200 {
		q := (low + high) / 2
		end := q / (math.Pi / 4 * 0.01 * 0.01 * math.Sqrt(2*9.80665))
		if end*end+1e5/perMetre*math.Pow(q/(20*litrePerMinute), 1/0.54) < head {
			low = q
		} else {
			high = q
		}
	}
	c.Near(low, -r.last("mains.flow"), "the flow back into the mains")
	c.Near(low, -r.last("hose end.flow"), "the flow back through the hose end")
	r.run(10 * signal.Minute)
	r.end()
	assert.InDelta(t, 0.3, r.last("barrel.level"), 1e-9, "the hose draws air once the water has fallen to its end")
	assert.Zero(t, r.last("mains.flow"))
	assert.InDelta(t, -0.3e5, r.last("mains.pressure"), 1, "the mains draws on")
	lost := (before - 0.3) * 0.25
	assert.InDelta(t, lost, r.last("mains.returned"), 1e-9,
		"the litres in the mains are not those that the barrel lacks")
	assert.InDelta(t, lost, r.last("mains.returned category 4"), 1e-9, "the category of what came back")
	assert.InDelta(t, lost, r.last("barrel.back-siphoned"), 1e-9)
	assert.Zero(t, r.last("site.lost"), "what is in the mains is counted there")
	out, err := r.site.Balance(r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-9)
}

// The mains is off and stands open further down: the barrel drains into it by its own height.
func TestWaterFallsBackIntoADeadMains(t *testing.T) {
	r := open(t, read(t, barrel("mains", "", dipping)))
	r.open("mains", "pressure factor", 0)
	r.run(2 * signal.Hour)
	r.end()
	assert.InDelta(t, 0.3*0.25, r.last("mains.returned"), 1e-9)
}

func TestWhatHoldsTheWaterBack(t *testing.T) {
	for _, c := range []struct {
		name, from, between, end string
		held                     float64 // knob "held open"
		back                     bool
	}{
		{"nothing", "mains", "", dipping, 0, true},
		{"an air gap", "mains", "", "air-gap: 40 mm", 0, false},
		{"a backflow preventer", "preventer", preventer, dipping, 0, false},
		{"a non-return valve", "check", check, dipping, 0, false},
		{"a backflow preventer that is stuck open", "preventer", preventer, dipping, 1, true},
		{"a non-return valve that leaks back", "check", check, dipping, 0.01, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := open(t, read(t, barrel(c.from, c.between, c.end)))
			if c.held > 0 {
				flow := r.last("mains.flow")
				r.open(c.from, "held open", c.held)
				assert.GreaterOrEqual(t, r.last("mains.flow"), flow*(1-1e-9),
					"forwards it passes what it passes sound, or more where nothing has to be pushed open")
			}
			r.open("mains", "suction", 0.3e5)
			r.run(signal.Minute)
			r.end()
			assert.Equal(t, c.back, r.last("mains.returned") > 1e-6, "%g m³ are back in the mains",
				r.last("mains.returned"))
			out, err := r.site.Balance(r.trace)
			if c.back || err == nil {
				assert.InDelta(t, 0, out, 1e-6)
			}
		})
	}
}

// Water runs in while the mains draws: the hose end is covered and left again and again, in steps that go somewhere.
func TestHoseEndAtTheSurfaceGoesOn(t *testing.T) {
	r := open(t, read(t, barrel("mains", "", dipping)))
	r.open("mains", "suction", 0.3e5)
	r.open("barrel", "inflow", 1*litrePerMinute)
	r.run(2 * signal.Hour)
	r.end()
	assert.InDelta(t, 0.301, r.last("barrel.level"), 0.0011, "what runs in is drawn off at the hose end")
	out, err := r.site.Balance(r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-6)
}

// lifting is a sump with a pump that lifts its water into a high tank through a pipe that ends under the tank's water.
func lifting(check string) string {
	from := "pump"
	if check != "" {
		from = "check"
	}
	return `site: lifting
tanks:
  - {name: sump, length: 1 m, width: 500 mm, rim: 800 mm, starts: 400 mm}
  - {name: high, floor: 4 m, length: 500 mm, width: 500 mm, rim: 900 mm, starts: 600 mm}
pumps:
  - {name: pump, from: sump, curve: [{flow: 0 L/min, head: 12 m}, {flow: 20 L/min, head: 8 m}], dry-below: 60 mm, pull-in: 8 V, drop-out: 3 V, coil: 60 ohm}
` + check + `
pipes:
  - {name: riser, from: ` + from + `, length: 6 m, bore: 16 mm, height: 4.95 m}
outlets:
  - {name: inlet, from: riser, bore: 14 mm, into: high, dips: 200 mm}
` + controllerOf([]string{"pump"}, nil)
}

// A stopped pump lets the high tank run back into the sump down to the end of the pipe, unless something holds it.
func TestSiphonAfterThePumpStops(t *testing.T) {
	const nonReturn = "non-return-valves:\n  - {name: check, from: pump, capacity: 3 m3/h}"
	for _, c := range []struct {
		name, check string
		held        float64
		siphons     bool
	}{{"nothing holds it", "", 0, true}, {"a non-return valve", nonReturn, 0, false}, {"a non-return valve stuck open",
		nonReturn, 1, true}} {
		t.Run(c.name, func(t *testing.T) {
			gate := "pump"
			if c.check != "" {
				gate = "check"
			}
			r := open(t, read(t, lifting(c.check)))
			if c.held > 0 {
				r.open("check", "held open", c.held)
			}
			r.drive("pump", true)
			r.run(signal.Minute)
			top := r.last("high.level")
			assert.Greater(t, r.last("pump.flow"), 5*litrePerMinute, "the pump must lift water")
			r.drive("pump", false)
			r.run(signal.Hour)
			r.end()
			want := top
			if c.siphons {
				want = 0.2
				assert.Positive(t, r.last("high.back-siphoned"))
			}
			assert.InDelta(t, want, r.last("high.level"), 0.02, "the high tank an hour after the pump has stopped")
			assert.InDelta(t, 0.4*0.5+0.6*0.25, r.last("sump.level")*0.5+r.last("high.level")*0.25-r.last(gate+".air"),
				1e-9, "what the tanks gain has run out of the riser")
		})
	}
}

// What comes back into a mains has the category of the tanks that its own pipes draw from, whatever other mains do.
func TestCategoryOfWhatComesBackIsThatOfItsOwnPipes(t *testing.T) {
	r := open(t, read(t, `site: two mains
supplies:
  - {name: mains, static: 3 bar, residual: 2 bar, at: 20 L/min}
  - {name: well, static: 3 bar, residual: 2 bar, at: 20 L/min}
outlets:
  - {name: hose, from: mains, bore: 12 mm, into: vat, dips: 50 mm}
  - {name: pipe end, from: well, bore: 12 mm, into: pond, dips: 50 mm}
tanks:
  - {name: vat, length: 1 m, width: 1 m, rim: 900 mm, category: 5, starts: 400 mm}
  - {name: pond, length: 1 m, width: 1 m, rim: 900 mm, category: 3, starts: 400 mm}
`+controllerOf(nil, nil)))
	r.open("mains", "suction", 0.3e5)
	r.open("well", "suction", 0.3e5)
	r.run(5 * signal.Minute)
	r.end()
	assert.Greater(t, r.last("well.returned"), 0.05, "nothing comes back into the well")
	assert.InDelta(t, r.last("well.returned"), r.last("well.returned category 3"), 1e-12,
		"the pond's water came back into the well as something else")
	assert.InDelta(t, r.last("mains.returned"), r.last("mains.returned category 5"), 1e-12,
		"the vat's water came back into the mains as something else")
	_, foreign := r.trace.Find("well.returned category 5")
	assert.False(t, foreign, "no pipe joins the well with the vat")
}

// A pump presses the water of a cistern into pipes that are joined with a mains of less pressure.
func TestPumpPressesACisternIntoTheMains(t *testing.T) {
	r := open(t, read(t, `site: cross-connection
supplies:
  - {name: mains, static: 1 bar, residual: 0.6 bar, at: 20 L/min}
pumps:
  - {name: pump, from: cistern, curve: [{flow: 0 L/min, head: 25 m}, {flow: 20 L/min, head: 15 m}], dry-below: 60 mm, pull-in: 8 V, drop-out: 3 V, coil: 60 ohm}
pipes:
  - {name: link, from: pump, joins: mains, length: 4 m, bore: 20 mm}
outlets:
  - {name: tap, from: mains, count: 1, flow: 5 L/min, at: 1 bar}
tanks:
  - {name: cistern, length: 1 m, width: 1 m, rim: 900 mm, starts: 800 mm}
`+controllerOf([]string{"pump"}, nil)))
	r.drive("pump", true)
	r.run(5 * signal.Minute)
	r.end()
	assert.Greater(t, r.last("mains.returned"), 0.02, "the pump is stronger than the mains")
	assert.InDelta(t, r.last("mains.returned"), r.last("mains.returned category 5"), 1e-12,
		"the water of the cistern came back as none")
}
