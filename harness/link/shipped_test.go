package link

import (
	"context"
	"fmt"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// The shipped scenarios, unchanged, on the example in C: those that its abilities and knobs allow hold, the others are
// not run and say which is missing.
func TestExampleInCRunsTheShippedScenarios(t *testing.T) {
	if testing.Short() {
		t.Skip("runs every shipped scenario")
	}
	program := compiled(t)
	library, err := scenarios.Open(features.Files)
	require.NoError(t, err)
	build := stand.Builder(library.Site, harness.Maker[harness.Controller]{Make: func(ctx context.Context,
		p *harness.Plan) (harness.Controller, error) {
		return Exec(ctx, []string{program}, p.Site.Controller, p.Terminals, Options{})
	}})
	results, err := runs.Suite(t.Context(), runs.Options{Library: library,
		Settings: runs.Settings{Seed: 1, Nominal: true}, Runner: runs.On(build), Concurrency: runtime.GOMAXPROCS(0)})
	require.NoError(t, err)
	ran := 0
	for _, r := range results {
		t.Run(fmt.Sprintf("%s:%d", r.Script.File, r.Script.Line), func(t *testing.T) {
			if r.Worst() == outcome.NotRun {
				assert.Regexp(
					t,
					`this controller does not offer: |^cannot realise .*this controller offers no knob |^this controller does not record `,
					r.Err.Error(),
					r.Script.Name,
				)
				return
			}
			ran++
			require.NoError(t, r.Err, r.Script.Name)
			for i, v := range r.Verdicts {
				assert.Equal(t, outcome.Held, v.State, "%s\n%s: margin %v at %v %s", r.Script.Name,
					r.Script.Outcomes[i].Text, v.Margin, v.At, v.Why)
			}
		})
	}
	t.Logf("%d of %d scenarios ran and held", ran, len(results))
	assert.GreaterOrEqual(t, ran, 20, "scenarios that the example in C runs")
	assert.Less(t, ran, len(results), "nothing was refused, although the example in C lacks abilities")
}
