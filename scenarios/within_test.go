package scenarios_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness/outcome"
	"ullage/scenarios/runs"
)

// A deadline of an event is judged at each of its occurrences, or at the first. An alert that the settings keep back,
// since one of its kind was sent within the hour, is not due at the second.
func TestDeadlinesOfEachOccurrence(t *testing.T) {
	l := library(t, `Feature: f
  Scenario: Two spills within the hour
    Given the site "tern-lane"
    And the level in "header-tank" is 700 mm
    When rain brings 90 L into "header-tank" within 2 min
    And 10 min pass
    And 100 L are drawn from "header-tank" within 2 min
    And 10 min pass
    And rain brings 100 L into "header-tank" within 10 min
    And 1 hour passes
    Then the alert "spill" arrives within 1 min of "tank-spill" operating
    And the alert "spill" arrives within 1 min of the first "tank-spill" operating
    And the level in "header-tank" rises to 790 mm within 10 min of the level in "header-tank" rising to 710 mm
    And the level in "header-tank" rises to 790 mm within 10 min of the first level in "header-tank" rising to 710 mm
`)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l, Settings: runs.Settings{Nominal: true},
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated()))})
	require.NoError(t, err)
	require.NoError(t, results[0].Err)
	v := results[0].Verdicts
	assert.NotEqual(t, outcome.Failed, v[0].State, v[0].Why)
	assert.InDelta(t, 59.96, v[0].Margin, 0.1, "the first spill is told within 40 ms, the second not again: %s", v[0].Why)
	assert.InDelta(t, v[0].Margin, v[1].Margin, 1e-9)
	const first, second = 80 / (90 / 0.5 / 120), 80 / (100 / 0.5 / 600) // s, 80 mm at litres over square metres
	assert.InDelta(t, 600-second, v[2].Margin, 0.1, "the slower rise counts: %s", v[2].Why)
	assert.InDelta(t, 600-first, v[3].Margin, 0.1, "the first rise counts: %s", v[3].Why)
}
