package scenarios_test

import (
	"os"
	"strings"
	"testing"

	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness/outcome"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// thenExercised is a Then and what it has to come to: "held", "no margin" for what held without one, "short" for what
// held by an input's distance from acting, "not exercised".
type thenExercised struct{ then, want string }

// What a scenario must come to, outcome by outcome, on a site whose barrel, beans and peas share a master valve and a
// meter. A difference at a terminal exercises only what a rule with it decides.
func TestExercised(t *testing.T) {
	site, err := os.ReadFile("testdata/exercised/garden.yaml")
	require.NoError(t, err)
	const (
		rim    = `no water goes over the rim of "barrel"`
		beans  = `the valve "beans" never opens`
		peas   = `the valve "peas" never opens`
		fill   = `the valve "fill" never opens`
		master = `the valve "master" never opens`
		spill  = `no alert "spill" arrives`
	)
	for _, c := range []struct {
		name, steps string
		thens       []thenExercised
	}{
		{"the probe of the peas", `When the probe "pea probe" is unplugged
			And 1 hour passes`,
			[]thenExercised{{rim, "not exercised"}, {beans, "not exercised"}, {fill, "not exercised"},
				{peas, "no margin"}, {master, "no margin"}, {spill, "not exercised"},
				{`the alert "probe fault" arrives within 10 s`, "held"}}},
		{"the probe of dry peas, which are watered only without the fault", `Given the soil of "pea bed" holds 18 % water
			When the probe "pea probe" is unplugged
			And 2 hours pass`,
			[]thenExercised{{rim, "not exercised"}, {beans, "not exercised"}, {fill, "not exercised"},
				{`at most 600 L run through "meter"`, "held"}}},
		{"a float of the barrel", `When the float of "low" jams operated
			And 1 hour passes`,
			[]thenExercised{{beans, "not exercised"}, {peas, "not exercised"}, {rim, "held"},
				{`the valve "master" is never open longer than 26 min at a stretch`, "held"}}},
		{"the float of a cut-off that shuts the beans too", `When the float of "spill" jams operated
			And 1 hour passes`,
			[]thenExercised{{beans, "no margin"}, {peas, "not exercised"}, {fill, "no margin"}, {rim, "no margin"}}},
		{"a knock on the barrel", `When the float of "low" jams operated for 30 ms
			And 1 hour passes`,
			[]thenExercised{{beans, "not exercised"}, {fill, "short"}, {rim, "short"}, {master, "short"}}},
		{"the network", `When the access point stops answering for 2 hours
			And 3 hours pass`,
			[]thenExercised{{rim, "not exercised"}, {beans, "no margin"}, {peas, "not exercised"},
				{"no alert arrives", "no margin"}}},
		{"a lost link while the beans run", `When "beans" is started remotely for 10 min
			And 2 min into the run of "beans", the access point stops answering for 1 hour
			And 1 hour passes`,
			[]thenExercised{{`the valve "beans" is never open longer than 10 min 5 s at a stretch`, "held"},
				{rim, "not exercised"}, {peas, "not exercised"}}},
		{"the power", `When the power goes off for 10 s
			And 1 hour passes`,
			[]thenExercised{{beans, "no margin"}, {rim, "no margin"}, {fill, "no margin"}}},
		{"the clock", `When the clock jumps back by 1 hour
			And 1 hour passes`,
			[]thenExercised{{beans, "no margin"}, {peas, "not exercised"}, {fill, "not exercised"}}},
		{"a command", `When "beans" is started remotely for 5 min
			And 1 hour passes`,
			[]thenExercised{{peas, "not exercised"}, {rim, "not exercised"},
				{`the valve "beans" is never open longer than 5 min 5 s at a stretch`, "held"}}},
		{"a restart", `When the controller restarts
			And 1 hour passes`,
			[]thenExercised{{peas, "no margin"}, {beans, "no margin"}, {`at most 1 alert "restarted" arrives`, "held"}}},
		{"water that comes nearer to a float", `When rain brings 50 L into "barrel" within 10 min
			And 1 hour passes`,
			[]thenExercised{{spill, "short"}, {beans, "short"}, {peas, "not exercised"}}},
		{"water that leaves the spill float", `When 100 L are drawn from "barrel" within 10 min
			And 1 hour passes`,
			[]thenExercised{{fill, "short"}, {spill, "not exercised"}, {peas, "not exercised"}}},
		{"a probe that reads a little too wet", `When the probe "pea probe" reads 1 % above the actual water content
			And 1 hour passes`,
			[]thenExercised{{peas, "short"}, {beans, "not exercised"}, {`no alert "probe fault" arrives`, "short"}}},
		{"a fault beside a stimulus that exercises", `Given the probe "pea probe" is unplugged
			When 200 L are drawn from "barrel" within 10 min
			And 1 hour passes`,
			[]thenExercised{{rim, "not exercised"}, {peas, "no margin"}}},
		{"a setting of another rule", `Given the level in "barrel" is 240 mm
			And the soak of the moisture rule is 30 min
			When 1 hour passes`, []thenExercised{{rim, "not exercised"}}},
		{"a limit that is not reached", `Given the level in "barrel" is 240 mm
			And the longest run of a fill is 20 min
			When 1 hour passes`,
			[]thenExercised{{`the valve "fill" is never open longer than 20 min 5 s at a stretch`, "not exercised"}}},
		{"a limit that is", `Given the level in "barrel" is 240 mm
			And the longest run of a fill is 5 min
			When 8 min pass`,
			[]thenExercised{{`the valve "fill" is never open longer than 5 min 5 s at a stretch`, "held"}}},
		{"a setting that only the margin shows", `Given the debounce of the contacts is 1 s
			When the float of "low" jams operated for 30 ms
			And 1 hour passes`, []thenExercised{{fill, "short"}}},
		{"a setting that says what the site file does", `Given the debounce of the contacts is 250 ms
			When the float of "low" jams operated for 30 ms
			And 1 hour passes`, []thenExercised{{fill, "short"}}},
		{"no fault and no stimulus: what the controller does", `Given the level in "barrel" is 240 mm
			When 1 hour passes`, []thenExercised{{rim, "held"}, {peas, "not exercised"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			steps := []string{`Feature: f`, `Scenario: ` + c.name, `Given the site "garden"`, c.steps}
			for _, then := range c.thens {
				steps = append(steps, "Then "+then.then)
			}
			l, err := scenarios.Open(fstest.MapFS{"a.feature": {Data: []byte(strings.Join(steps, "\n"))},
				"sites/garden.yaml": {Data: site}})
			require.NoError(t, err)
			results, err := runs.Suite(t.Context(), runs.Options{Library: l, Settings: runs.Settings{Nominal: true},
				Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
			require.NoError(t, err)
			require.Len(t, results, 1)
			require.NoError(t, results[0].Err)
			for i, v := range results[0].Verdicts {
				assert.Equal(t, c.thens[i].want, exercisedAs(v), "%s\n%s%s", c.thens[i].then, v.Why, v.Short)
				assert.Equal(t, v.State == outcome.NotExercised, v.Why != "", "what is not exercised says why")
			}
		})
	}
}

func exercisedAs(v outcome.Verdict) string {
	switch {
	case v.State != outcome.Held:
		return v.State.String()
	case v.NoMargin:
		return "no margin"
	case v.Short != "":
		return "short"
	}
	return "held"
}
