package scenarios_test

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/scenarios/runs"
)

// hiddenFaults are the scenarios whose fault no open-loop twin shows for an outcome: spikes stay hidden in the record of
// the terminal, which leaves noise out, and what the controller does otherwise is not done otherwise.
var hiddenFaults = map[string]bool{
	"Spikes on the probe water no more than they must": true,
	"Large spikes on the probe end no soak":            true,

	"Somebody starts the sprays after filling was given up": true,
}

// The shipped suite, proven by playing what the controller did into the site again, comes to the same margins, and to
// the same verdicts but for the scenarios above. An input's distance from acting is no such margin: what moved in a twin
// whose controller reacts may stand still in one that only plays.
func TestOpenLoopAgreesWithClosedLoop(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole suite twice")
	}
	l := shipped(t)
	stands := stand.Makers(stand.Simulated()).On(l.Site)
	closed := suite(t)
	open, err := runs.Suite(t.Context(), runs.Options{Library: l, Settings: runs.Settings{Seed: 1, Nominal: true},
		Concurrency: runtime.GOMAXPROCS(0), Runner: runs.ProvenBy(harness.OpenLoop{Stands: stands}, stands.Build)})
	require.NoError(t, err)
	hidden := 0
	for i, r := range open {
		require.NoError(t, r.Err, r.Script.Name)
		for k, v := range r.Verdicts {
			want, text := closed[i].Verdicts[k], r.Script.Outcomes[k].Text
			if want.Short+v.Short == "" && want.NoMargin == v.NoMargin {
				assert.Equal(t, want.Margin, v.Margin, "%s: %s", r.Script.Name, text)
			}
			if want.State == v.State {
				continue
			}
			assert.Equal(t, outcome.Held, want.State, "%s: %s", r.Script.Name, text)
			assert.Equal(t, outcome.NotExercised, v.State, "%s: %s", r.Script.Name, text)
			assert.True(t, hiddenFaults[r.Script.Name], "%s: %s: held by closed-loop twins, and open-loop twins find: %s",
				r.Script.Name, text, v.Why)
			hidden++
		}
	}
	assert.NotZero(t, hidden, "no verdict differs any more")
}

// What a fault does not reach is not exercised by open-loop twins either.
func TestOpenLoopFindsWhatIsNotExercised(t *testing.T) {
	for name, test := range map[string]struct {
		acts, then string
		want       outcome.State
	}{
		"a contact that never changes bounces":                 {"When the contact \"tank-spill\" bounces for 1 s with 4 edges at each change\n    And ", `the valve "top-up" never opens`, outcome.NotExercised},
		"a knock on a contact that the fill looks at":          {"When the float of \"tank-low\" jams operated for 30 ms\n    And ", `the valve "top-up" never opens`, outcome.Held},
		"the same knock, for a zone that no rule of it waters": {"When the float of \"tank-high\" jams operated for 30 ms\n    And ", `the valve "sprays" is never open longer than 7 min at a stretch`, outcome.NotExercised},
		"the access point is away, for a command": {"When the access point stops answering\n    And ",
			`the valve "top-up" never opens`, outcome.NotExercised},
		"the access point is away, for a message": {"When the access point stops answering\n    And ",
			`no alert arrives`, outcome.Held},
		"nothing happens, and the outputs are cut": {"When ", `the zone "drip" runs at least 1 time`,
			outcome.Held},
		"nothing happens, and cutting the outputs shows not": {"When ", `no alert "spill" arrives`,
			outcome.NotExercised},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			l := library(
				t,
				"Feature: f\n  Scenario: s\n    Given the site \"tern-lane\"\n    And it is Monday 05:50\n    "+test.acts+
					"30 min pass\n    Then "+test.then+"\n",
			)
			stands := stand.Makers(stand.Simulated()).On(l.Site)
			results, err := runs.Suite(t.Context(), runs.Options{Library: l, Settings: runs.Settings{Seed: 1},
				Runner: runs.ProvenBy(harness.OpenLoop{Stands: stands}, stands.Build)})
			require.NoError(t, err)
			require.Len(t, results[0].Verdicts, 1)
			v := results[0].Verdicts[0]
			assert.Equal(t, test.want.String(), v.State.String(), v.Why)
		})
	}
}
