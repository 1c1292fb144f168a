package sweep

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"sync"

	"ullage/scenarios/runs"
)

// Options say how a plan is run.
type Options struct {
	Jobs    int                    // trials at once; below 1: one
	Seeds   int                    // of each trial in which something is drawn; below 1: one
	Pairs   int                    // at the most; below 0: none
	Store   runs.Store             // where results are kept; nil: nowhere
	OnTrial func(done, trials int) // one call at a time
}

// Run runs every trial of the plan, and then the pairs that its results ask for. The report does not depend on how many
// run at once. The error is that of the context, or of the store; what was finished by then is in the store.
func (p *Plan) Run(ctx context.Context, o Options) (*Report, error) {
	p.twins.list, p.twins.most = nil, (max(1, o.Jobs)+2)*max(1, o.Seeds)
	report := &Report{Plan: p, Seeds: max(1, o.Seeds)}
	var err error
	if report.Results, err = p.runAll(ctx, o, p.Trials); err != nil {
		return nil, err
	}
	report.PairTrials, report.LeftOut = p.pairs(report.Results, o.Pairs)
	if report.PairResults, err = p.runAll(ctx, o, report.PairTrials); err != nil {
		return nil, err
	}
	p.more(report.Results, report.PairTrials, report.PairResults)
	return report, nil
}

// runAll runs trials, several at once, and returns their results in the order of the trials.
func (p *Plan) runAll(ctx context.Context, o Options, trials []Trial) ([]Result, error) {
	results, keys := make([]Result, len(trials)), make([]string, len(trials))
	var todo []int
	for i, c := range trials {
		found := false
		if o.Store != nil {
			var err error
			keys[i] = p.Key(c, o.Seeds)
			if found, err = o.Store.Find(keys[i], &results[i]); err != nil {
				return nil, err
			}
		}
		if !found {
			todo = append(todo, i)
		}
	}
	slices.SortStableFunc(todo, func(a, b int) int { // those that share a twin together
		return strings.Compare(trials[a].twin(0), trials[b].twin(0))
	})
	var mu sync.Mutex // guards done and OnTrial
	done := len(trials) - len(todo)
	return results, runs.Each(ctx, len(todo), o.Jobs, func(ctx context.Context, n int) error {
		i := todo[n]
		var err error
		if results[i], err = p.try(ctx, trials[i], o.Seeds); err != nil {
			return err
		}
		if o.Store != nil && results[i].State != NotRun {
			if err = o.Store.Put(keys[i], results[i]); err != nil {
				return err
			}
		}
		mu.Lock()
		defer mu.Unlock()
		if done++; o.OnTrial != nil {
			o.OnTrial(done, len(trials))
		}
		return nil
	})
}

// Key names what the result of a trial depends on: its run, how many seeds it is tried with, and the limits.
func (p *Plan) Key(c Trial, seeds int) string {
	h := sha256.New()
	fmt.Fprintf(h, "trial\x00%s\x00%d\x00%+v\x00%s\x00%q", c.ID, max(1, seeds), p.Limits,
		p.job(c.scenario, p.Seed).Key(), c.asks)
	return hex.EncodeToString(h.Sum(nil))
}
