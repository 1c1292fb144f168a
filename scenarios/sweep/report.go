package sweep

import (
	"fmt"
	"slices"

	"ullage/harness/spelling"
)

// Report is what came of a sweep.
type Report struct {
	Plan        *Plan
	Results     []Result // of the cells of the plan, in their order
	PairCells   []Cell
	PairResults []Result
	LeftOut     int // pairs that were not tried
	Seeds       int // that each cell was tried with in which something is drawn
}

// Extent says how many cells and pairs there are: "63 cells, 2 of them not possible here, and 10 pairs".
func (r *Report) Extent() string {
	text := spelling.Count(len(r.Results), "cell")
	if n := count(r.Results)[Impossible]; n > 0 {
		text += fmt.Sprintf(", %d of them not applicable,", n)
	}
	return text + " and " + spelling.Count(len(r.PairResults), "pair")
}

// Row is a fault on a target over all moments.
type Row struct {
	Fault, Target string
	Least         map[string]Result // by moment, over the stories
	Worst         int               // index of the result with the least to spare
	Silent        int               // how many of its cells are silent
	Alerts        bool              // an alert arrived in every cell that did harm
}

// rows gathers the cells of single faults by fault and target, in the order of the catalogue. Those that the stand cannot
// realise are left out.
func (r *Report) rows() []Row {
	var list []Row
	at := map[string]int{}
	for i, c := range r.Plan.Cells {
		result := r.Results[i]
		if result.State == Impossible {
			continue
		}
		id := name(c.Fault, c.Target)
		n, ok := at[id]
		if !ok {
			n, at[id] = len(list), len(list)
			list = append(list, Row{Fault: c.Fault, Target: c.Target, Least: map[string]Result{}, Worst: i, Alerts: true})
		}
		row := &list[n]
		if old, ok := row.Least[c.Moment]; !ok || worseThan(result, old) {
			row.Least[c.Moment] = result
		}
		if worseThan(result, r.Results[row.Worst]) {
			row.Worst = i
		}
		if result.Silent {
			row.Silent++
		}
		if result.State == Harm && len(result.Alerts) == 0 {
			row.Alerts = false
		}
	}
	order := map[string]int{}
	for i, c := range r.Plan.Cells {
		if _, ok := order[c.Fault]; !ok {
			order[c.Fault] = i
		}
	}
	slices.SortStableFunc(list, func(a, b Row) int { return order[a.Fault] - order[b.Fault] })
	return list
}

// Unprotected lists the single faults that do harm at some moment, as fault:target, in the order of the catalogue.
func (r *Report) Unprotected() []string {
	var list []string
	for _, row := range r.rows() {
		if r.Results[row.Worst].State == Harm {
			list = append(list, name(row.Fault, row.Target))
		}
	}
	return list
}

// Broken lists the cells that could not be made.
func (r *Report) Broken() []Result {
	var list []Result
	for _, result := range slices.Concat(r.Results, r.PairResults) {
		if result.State == Broken {
			list = append(list, result)
		}
	}
	return list
}

// count counts results by state.
func count(results []Result) map[State]int {
	n := map[State]int{}
	for _, r := range results {
		n[r.State]++
	}
	return n
}
