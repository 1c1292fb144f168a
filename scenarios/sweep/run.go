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
	Jobs   int                   // cells at once; below 1: one
	Seeds  int                   // of each cell in which something is drawn; below 1: one
	Pairs  int                   // at the most; below 0: none
	Store  runs.Store            // where results are kept; nil: nowhere
	OnCell func(done, cells int) // one call at a time
}

// Run runs every cell of the plan, and then the pairs that its results ask for. The report does not depend on how many run at
// once. The error is that of the context, or of the store; what was finished by then is in the store.
func (p *Plan) Run(ctx context.Context, o Options) (*Report, error) {
	p.twins.list, p.twins.most = nil, (max(1, o.Jobs)+2)*max(1, o.Seeds)
	report := &Report{Plan: p, Seeds: max(1, o.Seeds)}
	var err error
	if report.Results, err = p.runAll(ctx, o, p.Cells); err != nil {
		return nil, err
	}
	report.PairCells, report.LeftOut = p.pairs(report.Results, o.Pairs)
	if report.PairResults, err = p.runAll(ctx, o, report.PairCells); err != nil {
		return nil, err
	}
	p.more(report.Results, report.PairCells, report.PairResults)
	return report, nil
}

// runAll runs cells, several at once, and returns their results in the order of the cells.
func (p *Plan) runAll(ctx context.Context, o Options, cells []Cell) ([]Result, error) {
	results, keys := make([]Result, len(cells)), make([]string, len(cells))
	var todo []int
	for i, c := range cells {
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
		return strings.Compare(cells[a].twin(0), cells[b].twin(0))
	})
	var mu sync.Mutex // guards done and OnCell
	done := len(cells) - len(todo)
	return results, runs.Each(ctx, len(todo), o.Jobs, func(ctx context.Context, n int) error {
		i := todo[n]
		var err error
		if results[i], err = p.try(ctx, cells[i], o.Seeds); err != nil {
			return err
		}
		if o.Store != nil && results[i].State != Broken {
			if err = o.Store.Put(keys[i], results[i]); err != nil {
				return err
			}
		}
		mu.Lock()
		defer mu.Unlock()
		if done++; o.OnCell != nil {
			o.OnCell(done, len(cells))
		}
		return nil
	})
}

// Key names what the result of a cell depends on: its run, how many seeds it is tried with, and the limits.
func (p *Plan) Key(c Cell, seeds int) string {
	h := sha256.New()
	fmt.Fprintf(h, "cell\x00%s\x00%d\x00%+v\x00%s\x00%q", c.ID, max(1, seeds), p.Limits, p.job(c.scenario, p.Seed).Key(), c.asks)
	return hex.EncodeToString(h.Sum(nil))
}
