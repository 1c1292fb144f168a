package fault

import (
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// knobs are the ranges that devices offer, by kind and name.
var knobs = map[string]map[string][2]float64{
	"contact": {"jam": {-1, 1}, "lead": {0, 1e12}, "short": {0, 1}, "leak": {1, 1e12}, "return": {0, 1e3},
		"hung": {0, 5}, "sunk": {0, 5}, "inverted": {0, 1}, "exchanged": {0, 31}, "coupling": {1, 1e12}, "kick": {0,
			1000}, "kick time": {0, 1},
		"bounce time": {0, 60}, "bounce edges": {0, 1000}},
	"valve": {"held open": {0, 1}, "held shut": {0, 1}, "weep": {0, 1}, "closing factor": {0.01, 100},
		"seats at":  {0, 1e7},
		"coil lead": {0, 1e12}, "coil short": {0, 1}, "leads swapped": {0, 1}, "plunger jammed": {0, 1},
		"pilot grit": {0, 1}, "backwards": {0, 1}, "bleed open": {0, 1}, "debris": {0, 1}, "debris strokes": {0,
			1000}, "output failed": {-1, 1}, "exchanged": {0, 31}},
	"supply": {"pressure factor": {0, 1.5}, "suction": {0, 0.9e5}, "surge": {0, 20e5}},
	"tank": {"standpipe": {0, 1}, "side outlet": {0, 1}, "drain": {0, 1}, "draw": {0, 0.1}, "inflow": {0, 0.1}, "weir": {0, 1}, "hole": {0, 0.01},
		"hole height": {0, 20}, "slosh": {0, 1}},
	"probe": {"lead": {0, 1e12}, "wetting": {0, 1}, "short": {-1, 1}, "drift": {-1, 1}, "exposed": {0, 1},
		"stuck": {0, 1}, "failing": {-1, 1},
		"noise": {0, 10}, "hum": {0, 1e-3}, "flooded": {0, 1}, "gain": {0.01, 100}, "swapped": {0, 1}, "spike": {0,
			10}, "spikes": {0, 1}, "lag": {0, 7 * 86400}},
	"power": {"voltage factor": {0, 1.5}, "internal resistance": {0, 1000}, "charge": {0, 1},
		"common open": {0, 1}},
	"bed":                {"rain": {0, 1e-3}},
	"controller":         {"reset": {0, 1}},
	"wifi":               {"signal": {0, 1}},
	"pipe":               {"hole": {0, 2}, "ice": {0, 1}},
	"lateral":            {"hole": {0, 2}, "passage": {0, 1}},
	"outlet":             {"passage": {0, 1}},
	"filter":             {"loading": {0, 1}},
	"throttle":           {"set": {0, 1}},
	"meter":              {"stuck": {0, 1}, "misses": {0, 1}},
	"regulator":          {"held open": {0, 1}},
	"pump":               {"air": {0, 1}, "head": {0.01, 1}, "seized": {0, 1}, "welded": {0, 1}},
	"non-return valve":   {"held open": {0, 1}},
	"backflow preventer": {"held open": {0, 1}},
}

func TestEveryEntryIsComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, e := range Catalogue() {
		t.Run(e.ID, func(t *testing.T) {
			assert.False(t, seen[e.ID], "the catalogue has this ID twice")
			seen[e.ID] = true
			assert.Regexp(t, regexp.MustCompile(`^[a-z-]+\.[a-z-]+$`), e.ID)
			for what, text := range map[string]string{"name": e.Name, "mechanism": e.Mechanism, "kind": e.DeviceKind,
				"local effect": e.LocalEffect, "end effect": e.EndEffect, "check": e.Check, "question": e.Ask} {
				assert.NotEmpty(t, text, "the entry has no %s", what)
			}
			if e.Awaits == "" {
				assert.Contains(t, knobs, e.DeviceKind, "no device of this kind offers knobs")
			}
			assert.NotEmpty(t, e.Phrases, "no scenario can say it")
			assert.NotEmpty(t, e.Symptoms, "the fault has no symptom to be found by")
			assert.NotEmpty(t, e.Hazards)
			for _, h := range e.Hazards {
				assert.Contains(t, Hazards(), h)
			}
			for _, p := range e.Parameters {
				assert.NotEmpty(t, p.Source, "parameter %s has no source", p.Name)
				assert.LessOrEqual(t, p.Min, p.Default, p.Name)
				assert.LessOrEqual(t, p.Default, p.Max, p.Name)
				assert.True(t, p.Worst >= p.Min && p.Worst <= p.Max, "the worst %s is out of its range", p.Name)
			}
		})
	}
}

func TestTheFiveFamiliesAreThere(t *testing.T) {
	for _, id := range []string{"contact.bounce", "valve.stuck-open", "wifi.lost", "probe.unplugged",
		"supply.pressure-drop"} {
		_, ok := Find(id)
		assert.True(t, ok, "the catalogue lacks %s", id)
	}
}

// Whatever parameters and window the catalogue accepts, the turns must be possible on the knobs and lie in the window.
func TestEveryTurnIsWithinItsKnob(t *testing.T) {
	for _, e := range Catalogue() {
		if e.Awaits != "" {
			continue
		}
		t.Run(e.ID, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				in := Injection{Fault: e.ID, Target: "x", Params: map[string]float64{}}
				for _, p := range e.Parameters {
					if rapid.Bool().Draw(t, "given") {
						in.Params[p.Name] = rapid.Float64Range(p.Min, p.Max).Draw(t, p.Name)
					}
				}
				if !e.WithoutWindow {
					in.For = signal.Time(rapid.Int64Range(0, int64(2*signal.Hour)).Draw(t, "for"))
				}
				turns, err := Turns(in)
				require.NoError(t, err)
				require.NotEmpty(t, turns, "the fault does nothing")
				for _, turn := range turns {
					limits, ok := knobs[e.DeviceKind][turn.Knob]
					require.True(t, ok, "a %s has no knob %q", e.DeviceKind, turn.Knob)
					require.True(t, turn.Value >= limits[0] && turn.Value <= limits[1],
						"%s is turned to %g, which is outside of %v", turn.Knob, turn.Value, limits)
					require.Equal(t, "x", turn.Device)
					require.Less(t, turn.From, turn.Until)
					if in.For > 0 {
						require.LessOrEqual(t, turn.Until, in.For, "the fault goes on after its window")
					}
				}
			})
		})
	}
}

func TestTurns(t *testing.T) {
	turns, err := Turns(Injection{Fault: "overflow.blocked", Target: "header-tank",
		Params: map[string]float64{"share": 0.75}})
	require.NoError(t, err)
	assert.Equal(t, []Turn{{Device: "header-tank", Knob: "standpipe", Value: 0.25, Until: signal.Never}}, turns)

	turns, err = Turns(Injection{Fault: "contact.bounce", Target: "tank-high", For: signal.Minute})
	require.NoError(t, err)
	assert.Equal(t, []Turn{
		{Device: "tank-high", Knob: "bounce time", Value: 0.0062, Until: signal.Minute},
		{Device: "tank-high", Knob: "bounce edges", Value: 8, Until: signal.Minute},
	}, turns)

	turns, err = Turns(Injection{Fault: "wifi.flapping", Target: "wifi", For: 150 * signal.Second})
	require.NoError(t, err)
	assert.Equal(t, []Turn{
		{Device: "wifi", Knob: "signal", Until: 60 * signal.Second},
		{Device: "wifi", Knob: "signal", From: 120 * signal.Second, Until: 150 * signal.Second},
	}, turns)
}

func TestTurnsRefuses(t *testing.T) {
	for _, test := range []struct {
		in   Injection
		want string
	}{
		{Injection{Fault: "valve.melted"}, `there is no fault "valve.melted" in the catalogue`},
		{Injection{Fault: "valve.stuck-open", Params: map[string]float64{"openness": 1}},
			`valve.stuck-open has no parameter "openness"`},
		{Injection{Fault: "valve.stuck-open", Params: map[string]float64{"opening": 1.5}},
			`valve.stuck-open: the opening is 150 %; expected 1 % to 100 %`},
		{Injection{Fault: "contact.bounce", Params: map[string]float64{"bounce time": 20}},
			`contact.bounce: the bounce time is 20 s; expected 50 µs to 10 s`},
		{Injection{Fault: "wifi.lost", For: -1},
			`wifi.lost for -00:00:00.000000001; expected a window that is not negative`},
	} {
		_, err := Turns(test.in)
		assert.EqualError(t, err, test.want)
	}
}

func TestTheCatalogueIsNotShared(t *testing.T) {
	list := Catalogue()
	list[0].ID = "changed"
	assert.False(t, slices.ContainsFunc(Catalogue(), func(e Entry) bool { return e.ID == "changed" }))
}
