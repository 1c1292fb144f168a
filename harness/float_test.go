package harness

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

const ms = signal.Millisecond

// ternLane is a site with every rule, and a debounce of 250 ms.
func ternLane(t *testing.T) *sitefile.Site {
	text, err := os.ReadFile("../features/sites/tern-lane.yaml")
	require.NoError(t, err)
	site, err := sitefile.Read("tern-lane.yaml", text)
	require.NoError(t, err)
	require.NoError(t, sitefile.Setting{Path: "controller/settings/fill/debounce", Text: "250 ms"}.Apply(site))
	return site
}

// idle is a run of 100 s in which nothing happens, besides some changes.
func idle(site *sitefile.Site, changes map[signal.Signal][]signal.Change) *Run {
	trace := signal.NewTrace()
	rest := map[signal.Signal]float64{
		signal.Valve("top-up").Open():                  0,
		signal.Valve("sprays").Open():                  0,
		signal.Tank("header-tank").Level():             0.5,
		signal.Terminal("tank-low").Voltage():          3.3,
		signal.Terminal("tank-spill").Voltage():        0,
		signal.Terminal("top-up").Voltage():            0,
		signal.Power.Voltage():                         12,
		signal.AnalogueTerminal("bed-probe").Voltage(): 1.6,
	}
	var all []signal.Signal
	for _, s := range []signal.Signal{signal.Valve("top-up").Open(), signal.Valve("sprays").Open(),
		signal.Tank("header-tank").Level(), signal.Terminal("tank-low").Voltage(),
		signal.Terminal("tank-spill").Voltage(), signal.Terminal("top-up").Voltage(), signal.Power.Voltage(),
		signal.AnalogueTerminal("bed-probe").Voltage()} {
		id := trace.Declare(s)
		trace.Put(signal.Change{ID: id, Value: rest[s]})
		all = append(all, s)
	}
	for _, s := range all {
		id, _ := trace.Find(s.Name())
		for _, c := range changes[s] {
			trace.Put(signal.Change{At: c.At, ID: id, Value: c.Value})
		}
	}
	trace.Close(100 * s)
	return &Run{Trace: trace, End: 100 * s, Site: site}
}

// What nothing moved has the distance from acting of what met the controller for its margin.
func TestDistanceFromActing(t *testing.T) {
	low, spill := signal.Terminal("tank-low").Voltage(), signal.Terminal("tank-spill").Voltage()
	level, supply := signal.Tank("header-tank").Level(), signal.Power.Voltage()
	probe := signal.AnalogueTerminal("bed-probe").Voltage()
	pulse := func(from, lasts signal.Time, there, back float64) []signal.Change {
		return []signal.Change{{At: from, Value: there}, {At: from + lasts, Value: back}}
	}
	fills, waters := outcome.Never(outcome.Condition{Signal: "top-up.open", Is: outcome.On}),
		outcome.Never(outcome.Condition{Signal: "sprays.open", Is: outcome.On})
	for _, c := range []struct {
		name     string
		on       string // device that the fault acts on
		changes  map[signal.Signal][]signal.Change
		property outcome.Property
		state    outcome.State
		margin   float64 // 0: none
		dim      quantity.Dimension
	}{
		{"30 ms of 250 ms", "tank-low", map[signal.Signal][]signal.Change{low: pulse(50*s, 30*ms, 0, 3.3)}, fills,
			outcome.Held, 0.22, quantity.Duration},
		{"the longer of two", "tank-low", map[signal.Signal][]signal.Change{
			low: append(pulse(50*s, 30*ms, 0, 3.3), pulse(60*s, 80*ms, 0, 3.3)...)}, fills, outcome.Held, 0.17,
			quantity.Duration},
		{"longer than the debounce: it acted", "tank-low",
			map[signal.Signal][]signal.Change{low: pulse(50*s, 300*ms, 0, 3.3)}, fills, outcome.Held, 0, 0},
		{"the cut-off acts without a debounce", "tank-spill",
			map[signal.Signal][]signal.Change{spill: pulse(50*s, ms, 3.3, 0)}, fills, outcome.Held, 0, 0},
		{"a voltage that is still read as high", "tank-low",
			map[signal.Signal][]signal.Change{low: pulse(50*s, s, 1.1, 3.3)}, fills, outcome.Held, 0.3,
			quantity.Voltage},
		{"another rule's contact", "tank-low", map[signal.Signal][]signal.Change{low: pulse(50*s, 30*ms, 0, 3.3)},
			waters, outcome.NotExercised, 0, 0},
		{"water that comes nearer to the low float", "header-tank", map[signal.Signal][]signal.Change{
			level: {{At: 10 * s, Value: 0.5}, {At: 50 * s, Value: 0.3}}}, fills, outcome.Held, 0.05, quantity.Length},
		{"a supply that dips", "power", map[signal.Signal][]signal.Change{supply: pulse(50*s, s, 9, 12)}, waters,
			outcome.Held, 0.5, quantity.Voltage},
		{"a supply that falls below the reset", "power",
			map[signal.Signal][]signal.Change{supply: pulse(50*s, s, 8, 12)}, waters, outcome.Held, 0, 0},
		{"a reading that dries", "bed-probe", map[signal.Signal][]signal.Change{
			probe: {{At: 50 * s, Value: 1.6}, {At: 50 * s, Value: 1.7}, {At: 99 * s, Value: 1.7}}}, waters,
			outcome.Held, 0.05, quantity.Fraction},
		{"the probe of another zone", "bed-probe", map[signal.Signal][]signal.Change{
			probe: {{At: 50 * s, Value: 1.6}, {At: 50 * s, Value: 1.7}, {At: 99 * s, Value: 1.7}}},
			outcome.Always(outcome.Condition{Signal: "header-tank.level", Is: outcome.AtMost, Limit: 0.88}),
			outcome.NotExercised, 0, 0},
	} {
		site := ternLane(t)
		script := &Script{Acts: []Act{{Text: c.name, Fault: "f", Turns: turns(c.on)}},
			Outcomes: []outcome.Outcome{{Text: c.name, Property: c.property}}}
		verdicts := []outcome.Verdict{{NoMargin: true}}
		Exercise(idle(site, c.changes), idle(site, nil), script, 0, verdicts)
		v := verdicts[0]
		assert.Equal(t, c.state.String(), v.State.String(), "%s: %s", c.name, v.Why)
		if c.state == outcome.Held {
			assert.Equal(t, c.margin == 0, v.NoMargin, c.name)
			assert.InDelta(t, c.margin, v.Margin, 1e-3, c.name)
		}
		if c.margin != 0 {
			assert.Equal(t, c.dim, v.Dim, c.name)
			assert.NotEmpty(t, v.Short, "%s: the margin does not say of what it is", c.name)
		}
	}
}

func turns(device string) []fault.Turn { return []fault.Turn{{Device: device, Knob: "k", Value: 1}} }
