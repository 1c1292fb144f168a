package site_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/harness"
	"ullage/harness/signal"
)

// filled is a tank of half a square metre with a low and a high float, into which and out of which the test lets water.
func filled() string {
	return `site: filled
tanks:
  - {name: tank, length: 1 m, width: 500 mm, rim: 880 mm, starts: 400 mm}
contacts:
  - {name: low, in: tank, operates: 250 mm, releases: 280 mm, normally: open}
  - {name: high, in: tank, operates: 700 mm, releases: 670 mm, normally: open}
  - {name: spill, in: tank, operates: 770 mm, releases: 740 mm, normally: closed}
` + controllerOf(nil, []string{"low", "high", "spill"})
}

// A float that hangs is late both ways, one that has taken water is too high both ways; let go, it shows what is.
func TestFloatsThatAreLateOrDeep(t *testing.T) {
	for _, c := range []struct {
		name, knob, float string
		value             float64
		operates          float64 // m; 0: not in this tank
		releases          float64
	}{
		{"sound", "", "high", 0, 0.700, 0.670},
		{"hung", "hung", "high", 0.05, 0.750, 0.620},
		{"hung for longer than the tank is high", "hung", "high", 0.5, 0, 0},
		{"waterlogged", "sunk", "high", 0.05, 0.750, 0.720},
		{"sunk", "sunk", "high", 1, 0, 0},
		{"the low one hung", "hung", "low", 0.05, 0.200, 0.330},
		{"the low one waterlogged", "sunk", "low", 0.05, 0.300, 0.330},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := open(t, read(t, filled()))
			if c.knob != "" {
				r.open(c.float, c.knob, c.value)
			}
			flow := func(knob string, seconds signal.Time) {
				r.open("tank", knob, 0.5e-3) // 1 mm/s
				r.run(r.now + seconds*signal.Second)
				r.close("tank", knob, 0.5e-3)
			}
			first, then := "inflow", "draw"
			if c.float == "low" {
				first, then = then, first
			}
			flow(first, 350)
			flow(then, 500)
			on, off := r.changes(c.float+".operated", 1), r.changes(c.float+".operated", 0)[1:]
			if c.operates == 0 {
				assert.Empty(t, on, "the float comes free although the water never gets there")
				return
			}
			require.Len(t, on, 1)
			require.Len(t, off, 1)
			assert.InDelta(t, c.operates, r.at("tank.level", on[0]), 1e-6, "operates at another level")
			assert.InDelta(t, c.releases, r.at("tank.level", off[0]), 1e-6, "releases at another level")
		})
	}
}

// What hung shows the truth as soon as it is free, although the water stands still.
func TestAFloatThatComesFreeShowsTheLevel(t *testing.T) {
	r := open(t, read(t, filled()))
	r.open("high", "hung", 0.5)
	r.open("tank", "inflow", 0.5e-3)
	r.run(320 * signal.Second)
	r.close("tank", "inflow", 0.5e-3)
	r.run(10 * signal.Minute)
	require.Empty(t, r.changes("high.operated", 1))
	r.close("high", "hung", 0.5)
	r.run(11 * signal.Minute)
	assert.Len(t, r.changes("high.operated", 1), 1, "the water stands above its level and it does not say so")
}

func TestInvertedContact(t *testing.T) {
	r := open(t, read(t, filled()))
	closed := func(name string) bool { return r.reads(name, harness.ContactTerminal) < 0.8 }
	require.Equal(t, []bool{false, true}, []bool{closed("high"), closed("spill")})
	r.open("high", "inverted", 1)
	r.open("spill", "inverted", 1)
	assert.Equal(t, []bool{true, false}, []bool{closed("high"), closed("spill")}, "the other kind of contact is fitted")
	assert.Zero(t, r.last("high.operated"), "the float has not moved")
	r.close("high", "inverted", 1)
	assert.False(t, closed("high"))
}

// Two leads in each other's place: each terminal tells of the other's contact, whatever else is exchanged at the same
// time.
func TestExchangedLeads(t *testing.T) {
	ohms := func(r *rig) [3]bool {
		var closed [3]bool
		for i, name := range []string{"low", "high", "spill"} {
			closed[i] = r.reads(name, harness.ContactTerminal) < 0.8
		}
		return closed
	}
	r := open(t, read(t, filled()))
	require.Equal(t, [3]bool{false, false, true}, ohms(r), "low and high open, spill closed at rest")
	r.open("high", "exchanged", 1)
	assert.Equal(t, [3]bool{false, true, false}, ohms(r), "high and spill exchanged")
	r.close("high", "exchanged", 1)
	assert.Equal(t, [3]bool{false, false, true}, ohms(r), "put back")
	r.open("spill", "exchanged", 1)
	assert.Equal(t, [3]bool{true, false, false}, ohms(r), "after the last comes the first")
	r.open("low", "short", 1)
	assert.Equal(t, [3]bool{true, false, true}, ohms(r), "the low float's lead is at the terminal of spill")
}

// The kick of a coil lasts until its current is zero, which the test finds by integrating L di/dt + R i = -V, and
// pulls the open contact's terminal to what the divider of coupling and pull-up makes of the clamp.
func TestKickOfACoil(t *testing.T) {
	const supply, ohms, driver = 12.0, 35.0, 1.0
	c := accuracy.New(t, accuracy.Row{Computation: "kick of a coil into a contact's wire",
		Equation:  "L/R ln(1 + U/V); (rail/pull-up - V/coupling) / (1/pull-up + 1/coupling)",
		Source:    "L di/dt + R i = -V integrated by the midpoint rule in steps of a hundred-thousandth of L/R; Millman's theorem by hand",
		Tolerance: 1e-4})
	for _, k := range []struct{ clamp, constant, coupling float64 }{{40, 3e-3, 22e3}, {0.7, 3e-3, 10e3}, {300, 1e-3,
		100e3}, {12, 0.05, 5e3}} {
		r := open(t, read(t, wired("")))
		r.open("tank", "draw", 0.5e-3) // below the float: its contact is open
		r.run(2 * signal.Minute)
		r.close("tank", "draw", 0.5e-3)
		r.open("high", "coupling", k.coupling)
		r.open("high", "kick", k.clamp)
		r.open("high", "kick time", k.constant)
		calm := r.reads("high", harness.ContactTerminal)
		r.drive("master", true)
		r.run(r.now + signal.Second)
		require.Equal(t, calm, r.reads("high", harness.ContactTerminal), "a coil that comes on does not kick")
		r.drive("master", false)
		began := r.now
		c.Near((3.3/10e3-k.clamp/k.coupling)/(1/10e3+1/k.coupling), r.reads("high", harness.ContactTerminal),
			"volts at the terminal with a clamp of %g V", k.clamp)

		amps, total, seconds := supply/(ohms+driver), ohms+driver, 0.0
		inductance := k.constant * total
		for step := k.constant / 1e5; amps > 0; seconds += step {
			half := amps - (k.clamp+total*amps)/inductance*step/2
			amps -= (k.clamp + total*half) / inductance * step
		}
		seconds += amps / (k.clamp / inductance) // the last step has gone a little too far
		for r.reads("high", harness.ContactTerminal) < calm-1e-9 {
			r.advance(r.site.Next())
			require.Less(t, r.now, began+signal.Second, "a kick without an end")
		}
		c.Near(seconds, (r.now - began).Seconds(), "length with a clamp of %g V", k.clamp)
	}
}

// A closed contact is stiffer than what couples the kick into its wire.
func TestAClosedContactHoldsAgainstTheKick(t *testing.T) {
	r := open(t, read(t, wired("")))
	r.open("high", "coupling", 22e3)
	r.open("high", "kick", 40)
	r.open("high", "kick time", 3e-3)
	r.drive("master", true)
	r.run(signal.Second)
	r.drive("master", false)
	assert.InDelta(t, 0, r.reads("high", harness.ContactTerminal), 0.01)
}

// The coils of two valves in each other's place: each output moves the other's valve, also one that is on already, and
// all is as before when they are put back.
func TestExchangedOutputs(t *testing.T) {
	r := open(t, shipped(t, "tern-lane"))
	coils := func() [2]float64 { return [2]float64{r.last("sprays.coil"), r.last("top-up.coil")} }
	r.drive("sprays", true)
	r.run(signal.Second)
	require.Equal(t, [2]float64{1, 0}, coils())
	r.open("sprays", "exchanged", 1)
	r.run(2 * signal.Second)
	assert.Equal(t, [2]float64{0, 1}, coils(), "the output of the sprays moves the valve of the next output")
	r.drive("sprays", false)
	r.drive("top-up", true)
	r.run(3 * signal.Second)
	assert.Equal(t, [2]float64{1, 0}, coils(), "and the other way round")
	r.close("sprays", "exchanged", 1)
	r.run(4 * signal.Second)
	assert.Equal(t, [2]float64{0, 1}, coils(), "put back")
}
