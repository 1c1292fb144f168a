package harness_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/sitefile"
)

func tern(t *testing.T) *sitefile.Site {
	text, err := os.ReadFile("../features/sites/tern-lane.yaml")
	require.NoError(t, err)
	site, err := sitefile.Read("tern-lane.yaml", text)
	require.NoError(t, err)
	return site
}

// Which inputs feed which outputs and alerts, rule by rule, of a site whose settings use every rule.
func TestRulesOfTheSettings(t *testing.T) {
	type rule struct{ inputs, outputs, alerts []string }
	inside := []string{harness.PowerName, harness.FirmwareInput}
	in := func(names ...string) []string { return append(names, inside...) }
	want := map[string][]rule{
		"fill": {{in("tank-low", "tank-high", harness.LongestRunInput), []string{"top-up", "master"},
			[]string{harness.AlertFillTooLong, harness.AlertFillLockedOut}}},
		"cut-off":   {{in("tank-spill"), []string{"top-up", "master"}, []string{harness.AlertSpill}}},
		"interlock": {{in("tank-low"), []string{"pump"}, []string{harness.AlertDryRun}}},
		"moisture": {{in("bed-probe"), []string{"sprays", "master"},
			[]string{harness.AlertProbeFault, harness.AlertStillDry}}},
		"programme": {{in(harness.ClockInput), []string{"drip", "pump"}, []string{harness.AlertClockNotSet}}},
		"remote": {{in(harness.NetworkInput), []string{"sprays", "master"}, []string{harness.AlertRunLimit}},
			{in(harness.NetworkInput), []string{"drip", "pump"}, []string{harness.AlertRunLimit}}},
		"flow alarms": {
			{in("meter"), []string{"top-up", "master"},
				[]string{harness.AlertFillTooLong, harness.AlertFillLockedOut}},
			{in("meter"), []string{"sprays", "master"},
				[]string{harness.AlertProbeFault, harness.AlertStillDry}},
			{in("meter"), []string{"sprays", "master"}, []string{harness.AlertRunLimit}},
			{in("meter", "tank-low", "tank-high", harness.LongestRunInput, "tank-spill", "bed-probe",
				harness.NetworkInput), nil,
				[]string{harness.AlertNoFlow, harness.AlertFlowWithoutCall}}},
		"messages": {{in(harness.NetworkInput), nil, harness.AlertNames()}},
	}
	got := map[string][]rule{}
	for _, r := range harness.Rules(tern(t)) {
		got[r.Name] = append(got[r.Name], rule{r.Inputs, r.Outputs, r.Alerts})
	}
	for name := range want {
		require.Len(t, got[name], len(want[name]), name)
		for i, w := range want[name] {
			assert.Subset(t, got[name][i].inputs, w.inputs, "inputs of the rule %s", name)
			assert.Subset(t, w.inputs, got[name][i].inputs, "inputs of the rule %s", name)
			assert.Equal(t, w.outputs, got[name][i].outputs, "outputs of the rule %s", name)
			assert.Equal(t, w.alerts, got[name][i].alerts, "alerts of the rule %s", name)
		}
	}
	assert.Len(t, got, len(want))
}
