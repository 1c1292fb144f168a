package scenarios_test

// The shipped features on the simulated stand.
//
//	go test ./scenarios -run ShippedFeatures                      every scenario; -v prints the margins
//	go test ./scenarios -run 'ShippedFeatures/flood.feature:12'   one of them
//	go test ./scenarios -run Protections                          each protection taken out in its turn

import (
	"context"
	"fmt"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/controller"
	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

func shipped(t testing.TB) *scenarios.Library {
	l, err := scenarios.Open(features.Files)
	require.NoError(t, err)
	return l
}

// run runs scenarios of the shipped suite with a simulated controller.
func run(t testing.TB, selection scenarios.Selection, options ...controller.Option) []*harness.Result {
	l := shipped(t)
	results, err := runs.Suite(t.Context(), runs.Options{Library: l, Select: selection,
		Settings: runs.Settings{Seed: 1, Nominal: true},
		Runner:   runs.On(stand.Builder(l.Site, stand.Simulated(options...))), Concurrency: runtime.GOMAXPROCS(0)})
	require.NoError(t, err)
	return results
}

// suite is what the shipped suite came to with the simulated controller, run once for all tests that look at it. With
// -short, which the race detector runs with, every fourth scenario is run.
func suite(t testing.TB) []*harness.Result {
	results, err := suiteOnce()
	require.NoError(t, err)
	return results
}

var suiteOnce = sync.OnceValues(func() ([]*harness.Result, error) {
	l, err := scenarios.Open(features.Files)
	if err != nil {
		return nil, err
	}
	var some scenarios.Selection
	if all, problems := l.Cases(); testing.Short() && len(problems) == 0 {
		for i := 0; i < len(all); i += 4 {
			some.Spots = append(some.Spots, scenarios.Spot{File: all[i].File, Line: all[i].Line})
		}
	}
	return runs.Suite(context.Background(), runs.Options{Library: l, Select: some,
		Settings: runs.Settings{Seed: 1, Nominal: true},
		Runner:   runs.On(stand.Builder(l.Site, stand.Simulated())), Concurrency: runtime.GOMAXPROCS(0)})
})

func TestShippedFeatures(t *testing.T) {
	for _, r := range suite(t) {
		t.Run(fmt.Sprintf("%s:%d", r.Script.File, r.Script.Line), func(t *testing.T) {
			require.NoError(t, r.Err, r.Script.Name)
			for i, v := range r.Verdicts {
				t.Log(describe(r, i))
				assert.Equal(t, outcome.Held, v.State, "%s\n%s: %s", r.Script.Name, r.Script.Outcomes[i].Text, v.Why)
			}
		})
	}
}

// describe is one line about an outcome.
func describe(r *harness.Result, i int) string {
	v, share := r.Verdicts[i], "-"
	margin := "margin " + quantity.Format(v.Margin, v.Dim)
	if v.NoMargin {
		margin = "no margin"
	}
	if s, ok := v.Share(); ok {
		share = quantity.Format(s, quantity.Fraction)
	}
	return fmt.Sprintf("%-40.40s | %-60.60s | %v, %s (%s) at %v %s", r.Script.Name, r.Script.Outcomes[i].Text,
		v.State, margin, share, milliseconds(v.At), v.Why)
}

// With any one protection taken out, a scenario about it must fail by its margin, and good days must stay good.
func TestProtections(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole suite over again; the run of the shipped features shows the races")
	}
	for _, p := range controller.Protections() {
		t.Run(string(p.Takes), func(t *testing.T) {
			t.Parallel()
			tag := scenarios.ProtectionTag(p.Takes)
			require.NotEmpty(t, tag, "no tag names this protection")
			failed := 0
			for _, r := range run(t, scenarios.Selection{Tags: tag}, controller.Without(p.Takes)) {
				for i, v := range r.Verdicts {
					t.Log(describe(r, i))
					if v.State == outcome.Failed && v.Margin < 0 {
						failed++
					}
				}
			}
			assert.NotZero(t, failed, "with firmware in which %s, every scenario tagged %s still holds", p.Mistake, tag)
			for _, r := range run(t, scenarios.Selection{Tags: "@good-day"}, controller.Without(p.Takes)) {
				assert.Equal(t, outcome.Held, r.Worst(), "without %s a good day is spoilt: %s\n%s", p.Takes,
					r.Script.Name, whys(r))
			}
		})
	}
}

func whys(r *harness.Result) string {
	var lines []string
	for i, v := range r.Verdicts {
		lines = append(lines, r.Script.Outcomes[i].Text+": "+v.Why)
	}
	return strings.Join(lines, "\n")
}
