package sweep

import (
	"context"
	"slices"
	"strings"
	"sync"
)

// Options say how a plan is run.
type Options struct {
	Jobs   int                   // cells at once; below 1: one
	Seeds  int                   // of each cell in which something is drawn; below 1: one
	Pairs  int                   // at the most; below 0: none
	Store  *Store                // where results are kept; nil: nowhere
	OnCell func(done, cells int) // one call at a time
}

// Run runs every cell of the plan, and then the pairs that its results ask for. The report does not depend on how many run at
// once. The error is that of the context, or of the store; what was finished by then is in the store.
func (p *Plan) Run(ctx context.Context, o Options) (*Report, error) {
	p.twins.list, p.twins.most = nil, (max(1, o.Jobs)+2)*max(1, o.Seeds)
	singles, err := p.runAll(ctx, o, p.Cells)
	if err != nil {
		return nil, err
	}
	report := &Report{Plan: p, Results: singles, Seeds: max(1, o.Seeds)}
	report.PairCells, report.LeftOut = p.pairs(singles, o.Pairs)
	if report.PairResults, err = p.runAll(ctx, o, report.PairCells); err != nil {
		return nil, err
	}
	p.more(singles, report.PairCells, report.PairResults)
	return report, nil
}

// runAll runs cells, several at once, and returns their results in the order of the cells.
func (p *Plan) runAll(ctx context.Context, o Options, cells []Cell) ([]Result, error) {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	results := make([]Result, len(cells))
	var todo []int
	for i, c := range cells {
		var ok bool
		if results[i], ok = o.Store.find(c.ID); !ok {
			todo = append(todo, i)
		}
	}
	slices.SortStableFunc(todo, func(a, b int) int { // those that share a twin together
		return strings.Compare(cells[a].twin(0), cells[b].twin(0))
	})
	next := make(chan int)
	var wait sync.WaitGroup
	var mu sync.Mutex // guards the store, done and OnCell
	done := len(cells) - len(todo)
	for range max(1, o.Jobs) {
		wait.Go(func() {
			for i := range next {
				r, err := p.try(ctx, cells[i], o.Seeds)
				mu.Lock()
				if err == nil {
					results[i] = r
					done++
					err = o.Store.put(r)
				}
				if err != nil {
					cancel(err)
				} else if o.OnCell != nil {
					o.OnCell(done, len(cells))
				}
				mu.Unlock()
			}
		})
	}
feed:
	for _, i := range todo {
		select {
		case next <- i:
		case <-ctx.Done():
			break feed
		}
	}
	close(next)
	wait.Wait()
	if ctx.Err() != nil {
		return results, context.Cause(ctx)
	}
	return results, nil
}
