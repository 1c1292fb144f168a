// Package scenariotest runs scenarios as Go tests of your own controller: a firmware team calls Run in its go test and
// has one subtest for each scenario, on the simulated sites, in virtual time.
//
//	func TestNight(t *testing.T) {
//		scenariotest.Run(t, "night.feature", newController)
//	}
//
// newController is also what link.Serve takes, which makes a program of the same controller for ullage run.
package scenariotest

import (
	"context"
	"fmt"
	"sync/atomic"
	"testing"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// Maker makes a controller for a run: its supply, board and settings as the site file and the scenario have them, and
// its terminals in the order of the site file with the power terminal last.
type Maker func(spec sitefile.Controller, terminals []harness.Terminal) (harness.Controller, error)

// Run runs the scenarios of a feature file, or of a folder of them, each as a parallel subtest with the name of the
// scenario and a controller of its own. Site files are found beside the feature file or in a folder sites there, and
// the shipped ones by name; a path that is not there but is that of a shipped feature, such as features/flood.feature,
// means the shipped one. Each outcome that did not hold is an error with its margin; one that held is logged with it. A
// scenario that needs what the controller does not offer is skipped with that reason; a test in which every scenario
// was skipped fails.
func Run(t *testing.T, path string, newController Maker) {
	t.Helper()
	library, spots, err := scenarios.Load(features.Files, []string{path})
	if err != nil {
		t.Fatal(err)
	}
	cases, err := library.Select(scenarios.Selection{Spots: spots})
	if err != nil {
		t.Fatal(err)
	}
	runner := runs.On(stand.Builder(library.Site, harness.Maker[harness.Controller]{
		Make: func(_ context.Context, p *harness.Plan) (harness.Controller, error) {
			return newController(p.Site.Controller, p.Terminals)
		}}))
	var begun, skipped atomic.Int64
	t.Cleanup(func() {
		if n := begun.Load(); n > 0 && n == skipped.Load() {
			t.Errorf("%s: none of %d scenarios was run, so nothing is shown", path, n)
		}
	})
	for _, c := range cases {
		t.Run(c.Name, func(t *testing.T) {
			t.Parallel()
			begun.Add(1)
			r := runner.Run(t.Context(), runs.New(c, library,
				runs.Settings{Seed: 1, Proof: runs.ClosedLoop, Timeout: runs.DefaultTimeout}))
			if r.Worst() == outcome.NotRun {
				skipped.Add(1)
				t.Skipf("not run: %v", r.Err)
			}
			report(t, r)
		})
	}
}

// report says what became of each outcome.
func report(t *testing.T, r *harness.Result) {
	t.Helper()
	for i, v := range r.Verdicts {
		text := fmt.Sprintf("%s:%d: %s: %v", r.Script.File, r.Script.Line, r.Script.Outcomes[i].Text, v.State)
		switch v.State {
		case outcome.Held:
			t.Logf("%s, margin %s", text, margin(v))
		case outcome.Failed:
			t.Errorf("%s, margin %s: %s", text, margin(v), v.Why)
		default:
			t.Errorf("%s: %s", text, v.Why)
		}
	}
}

// margin is the margin of an outcome as a run prints it.
func margin(v outcome.Verdict) string {
	if v.NoMargin {
		return "none"
	}
	return quantity.FormatDifferenceIn(v.Margin, v.Dim, quantity.Metric)
}
