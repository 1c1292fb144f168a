package sweep_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/scenarios"
	"ullage/scenarios/runs"
	"ullage/scenarios/sweep"
)

var update = flag.Bool("update", false, "write the golden files: only commit what you understand")

// golden compares a text with a file.
func golden(t *testing.T, name, got string) {
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o666))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got,
		"the sweep says something else than %s; go test ./scenarios/sweep -update renews it", file)
}

func library(t testing.TB) *scenarios.Library {
	l, err := scenarios.Open(features.Files)
	require.NoError(t, err)
	return l
}

func plan(t testing.TB, site string, only ...string) *sweep.Plan {
	return planned(t, fault.Worst, site, only...)
}

func planned(t testing.TB, figures fault.Severity, site string, only ...string) *sweep.Plan {
	l := library(t)
	p, err := sweep.NewPlan(t.Context(), sweep.Setup{Library: l, Site: site,
		Runner: runs.On(stand.Builder(l.Site, stand.Simulated())), Seed: 1,
		Limits: sweep.UsualLimits(), Figures: figures})
	require.NoError(t, err)
	require.NoError(t, p.Only(only))
	return p
}

// few are faults of the fish house that hold, do harm, are not met, and make a dangerous pair.
var few = []string{"contact.jammed-released", "contact.shorted:sump-spill", "valve.stuck-open", "valve.stuck-closed",
	"overflow.blocked"}

func sweepOf(t testing.TB, p *sweep.Plan, o sweep.Options) *sweep.Report {
	o.Pairs = 100
	r, err := p.Run(t.Context(), o)
	require.NoError(t, err)
	return r
}

func printed(t testing.TB, r *sweep.Report) string {
	var b bytes.Buffer
	require.NoError(t, r.Print(&b, []string{"valve.stuck-open:top-up", "valve.stuck-closed:top-up"}, 0, false))
	return b.String()
}

// What the sweep says of a small site, and says in the same words however many trials run at once.
func TestReport(t *testing.T) {
	serial := printed(t, sweepOf(t, plan(t, "fish-house-sump", few...), sweep.Options{Jobs: 1}))
	golden(t, "fish-house-sump.golden", serial)
	assert.Equal(t, serial, printed(t, sweepOf(t, plan(t, "fish-house-sump", few...), sweep.Options{Jobs: 4})),
		"four trials at once give another report")
}

// Every fault of the catalogue is tried on every target of its kind on every shipped site, or its phrase says why it
// cannot be injected there.
func TestEveryFaultIsPlacedOnEveryTarget(t *testing.T) {
	if testing.Short() {
		t.Skip("plans a sweep of every site, which nothing runs in parallel")
	}
	var b strings.Builder
	for _, site := range library(t).Sites() {
		p := plan(t, site)
		targets := map[string]bool{}
		for _, c := range p.Trials {
			targets[c.Fault+" "+c.Target] = true
		}
		fmt.Fprintf(&b, "%s\n", site)
		for _, s := range p.Sequences {
			fmt.Fprintf(&b, "  sequence %s: %s\n", s.Name, strings.Join(s.Moments, ", "))
			for _, why := range append(s.Dropped, s.Missing) {
				if why != "" {
					fmt.Fprintf(&b, "    ! %s\n", why)
				}
			}
		}
		for _, r := range p.Refused {
			assert.False(t, targets[r.Fault+" "+r.Target], "%s: %s on %s is refused and tried", site, r.Fault, r.Target)
			// its example compiles on no site: a test of the phrases looks after those
			if strings.HasPrefix(r.Target, "any ") {
				continue
			}
			fmt.Fprintf(&b, "  %s not applicable to %s: %s\n", r.Fault, r.Target, r.Why)
		}
	}
	golden(t, "placed.golden", b.String())
}

// A sweep that is broken off goes on where it stopped, also when a line of its file was cut off.
func TestGoesOnAfterAKill(t *testing.T) {
	folder := t.TempDir()
	p := plan(t, "fish-house-sump", few...)
	whole := printed(t, sweepOf(t, p, sweep.Options{Jobs: 2}))
	store, err := runs.OpenFile(folder, p.Site)
	require.NoError(t, err)
	ctx, kill := context.WithCancelCause(t.Context())
	killed := errors.New("killed")
	ran := 0
	_, err = p.Run(ctx, sweep.Options{Jobs: 1, Pairs: 100, Store: store, OnTrial: func(done, _ int) {
		if ran = done; done == 7 {
			kill(killed)
		}
	}})
	require.ErrorIs(t, err, killed)
	require.Equal(t, 7, ran, "trials before the kill")
	require.NoError(t, store.Close())
	file, err := os.OpenFile(store.Name(), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = file.WriteString(`{"id":"valve.stuck`)
	require.NoError(t, errors.Join(err, file.Close()))

	store, err = runs.OpenFile(folder, p.Site)
	require.NoError(t, err)
	defer store.Close()
	assert.Equal(t, 7, store.Len(), "results that outlived the kill")
	first := 0
	report := sweepOf(t, p, sweep.Options{Jobs: 2, Store: store, OnTrial: func(done, _ int) {
		if first == 0 {
			first = done
		}
	}})
	assert.Equal(t, 8, first, "what was recorded has been run again")
	assert.Equal(t, whole, printed(t, report), "a sweep in two parts says something else than one in one piece")
}

// A result belongs to a trial on a site, with its limits, seeds and controller, and is not taken for that of another.
func TestResultsAreNotMixed(t *testing.T) {
	p := plan(t, "fish-house-sump", few...)
	keys := map[string]string{}
	note := func(what, key string) {
		assert.Empty(t, keys[key], "%s has the key of another", what)
		keys[key] = what
	}
	for i, c := range p.Trials {
		note(c.ID, p.Key(c, 1))
		assert.Equal(t, p.Key(c, 1), plan(t, "fish-house-sump", few...).Key(c, 1),
			"the key changes from one plan to the next")
		if i == 2 {
			break
		}
	}
	c := p.Trials[0]
	note("more seeds", p.Key(c, 2))
	p.Seed = 2
	note("another seed", p.Key(c, 1))
	p.Seed = 1
	p.Limits.Lost *= 2
	note("another limit", p.Key(c, 1))
	p.Limits.Lost /= 2
	p.Stand.Identity = "b"
	note("another controller", p.Key(c, 1))
	q := plan(t, "otter-pool", "contact.jammed-released")
	note("another site", q.Key(q.Trials[0], 1))
}

// A saved trial, run by ullage run, has the same margins to the bit as in the sweep.
func TestASavedCellGivesTheSameMargins(t *testing.T) {
	p := plan(t, "fish-house-sump")
	folder := t.TempDir()
	for _, id := range []string{
		"valve.stuck-open:top-up:fill:closing", "contact.jammed-released:sump-high:fill:mid-run", "contact.bounce:sump-high:fill:opening",
		"tank.slosh:sump:fill:opening", "wifi.lost:wifi:idle:idle", "supply.off:mains:power-back:booting", "tank.leak:sump:idle:all-along",
		"contact.shorted:sump-spill+contact.jammed-released:sump-high:fill:opening",
	} {
		t.Run(id, func(t *testing.T) {
			trial, ok := p.Trial(id)
			require.True(t, ok, "there is no such trial")
			saved, err := p.Save(t.Context(), trial, 1, folder)
			require.NoError(t, err)
			l, _, err := scenarios.Load(features.Files, []string{saved.File})
			require.NoError(t, err)
			results, err := runs.Suite(t.Context(), runs.Options{Library: l,
				Settings: runs.Settings{Seed: saved.Seed, Nominal: true},
				Runner:   runs.On(stand.Builder(l.Site, stand.Simulated()))})
			require.NoError(t, err)
			require.Len(t, results, 1)
			require.NoError(t, results[0].Err)
			for i, o := range results[0].Script.Outcomes {
				swept := judgement(t, saved.Result, o.Text)
				v := results[0].Verdicts[i]
				assert.Equal(t, math.IsInf(float64(swept.Margin), 1), v.NoMargin, o.Text)
				if !v.NoMargin {
					assert.Equal(t, float64(swept.Margin), v.Margin, "the margin differs: %s", o.Text)
				}
				assert.Equal(t, swept.State == outcome.Failed, v.State == outcome.Failed, "lost: %s", o.Text)
			}
		})
	}
}

func judgement(t *testing.T, r sweep.Result, text string) sweep.Judgement {
	for _, j := range r.Outcomes {
		if j.Text == text {
			return j
		}
	}
	require.Fail(t, "the sweep did not ask this", text)
	return sweep.Judgement{}
}

// With several seeds the one with the smallest margin counts, and a trial in which nothing is drawn has the same
// margins.
func TestSeeds(t *testing.T) {
	if testing.Short() {
		t.Skip("TestReport shows the races")
	}
	const noisy = "probe.noisy:bed-probe"
	p := planned(t, fault.Typical, "tern-lane", noisy, "valve.stuck-open:drip")
	p.Trials = slices.DeleteFunc(p.Trials, func(c sweep.Trial) bool { return c.Sequence != "sprays by remote start" })
	one := sweepOf(t, p, sweep.Options{Jobs: 2})
	two := sweepOf(t, p, sweep.Options{Jobs: 2, Seeds: 2})
	others := 0
	for i, r := range two.Results {
		if a, ok := one.Results[i].Tightest(); ok {
			b, ok := r.Tightest()
			require.True(t, ok, r.ID)
			assert.LessOrEqual(t, b.Share(), a.Share(), "%s: two seeds leave more than one", r.ID)
		}
		if r.Seed != 1 {
			others++
			assert.True(t, strings.HasPrefix(r.ID, noisy), "%s draws nothing, and seed %d is said to be worse", r.ID,
				r.Seed)
		}
	}
	assert.NotZero(t, others, "no other seed was worse than the first in any trial with noise")
}
