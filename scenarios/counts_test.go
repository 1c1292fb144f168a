package scenarios_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// The margins follow from the settings of the sites: the programme of the drip runs for 20 min from 05:00, and its valve
// takes 1.6 s to close; a probe that is unplugged while the lawn runs is told 8 s later.
func TestTimesAndCounts(t *testing.T) {
	l, _, err := scenarios.Load(features.Files, []string{"testdata/times-and-counts.feature"})
	require.NoError(t, err)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l, Settings: runs.Settings{Nominal: true},
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	want := map[string]float64{
		`the valve "drip" closes by 05:35`:                                     15*60 - 1.6,
		`each run of the zone "drip" lasts at least 10 min`:                    10*60 + 1.6,
		`the zone "drip" runs exactly 1 time`:                                  0,
		`the valve "drip" opens between 1 and 3 times`:                         0,
		`an alert arrives within 15 min`:                                       15*60 - 8,
		`at least 1 alert "probe fault" arrives`:                               0,
		`between 1 and 2 alerts "probe fault" arrive`:                          0,
		`at least 1 alert arrives`:                                             0,
		`the alert "spill" arrives by 00:00`:                                   -3 * 3600,
		`an alert arrives within 15 min of the valve "drip" opening`:           15*60 - 1.5,
		`the valve "top-up" stays open for at least 10 s each time`:            410.8,
		`the valve "top-up" stays shut for at least 10 s between two openings`: 21139,
		`the level in "tank" rises to 600 mm by 23:00`:                         6792,
		`at least 5 s pass between two connection attempts`:                    35,
		`the controller tries to connect at least 1 time`:                      7,
		`the controller is connected by 05:35`:                                 613,
		`the level in "tank" stays above 100 mm`:                               0.1998,
	}
	for _, r := range results {
		require.NoError(t, r.Err, r.Script.Name)
		for i, o := range r.Script.Outcomes {
			close := max(0.5, 0.005*math.Abs(want[o.Text])) // of what the water of the site decides
			assert.InDelta(t, want[o.Text], r.Verdicts[i].Margin, close, "%s: %s: %s", r.Script.Name, o.Text, r.Verdicts[i].Why)
			delete(want, o.Text)
		}
	}
	assert.Empty(t, want, "outcomes that were not judged")
}
