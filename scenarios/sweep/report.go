package sweep

import (
	"fmt"
	"slices"

	"ullage/harness/spelling"
)

// Report is what came of a sweep.
type Report struct {
	Plan        *Plan
	Results     []Result // of the trials of the plan, in their order
	PairTrials  []Trial
	PairResults []Result
	LeftOut     int // pairs that were not tried
	Seeds       int // that each trial was tried with in which something is drawn
}

// Extent says how many trials and pairs there are: "63 trials, 2 of them not possible here, and 10 pairs".
func (r *Report) Extent() string {
	text := spelling.Count(len(r.Results), "trial")
	if n := count(r.Results)[NotApplicable]; n > 0 {
		text += fmt.Sprintf(", %d of them not applicable,", n)
	}
	return text + " and " + spelling.Count(len(r.PairResults), "pair")
}

// Row is a fault on a target over all moments.
type Row struct {
	Fault, Target string
	Least         map[string]Result // by moment, over the sequences
	Worst         int               // index of the result with the smallest margin
	Silent        int               // how many of its trials are silent
	Alerts        bool              // an alert arrived in every trial that did harm
}

// rows gathers the trials of single faults by fault and target, in the order of the catalogue. Those that the stand
// cannot realise are left out.
func (r *Report) rows() []Row {
	var list []Row
	at := map[string]int{}
	for i, c := range r.Plan.Trials {
		result := r.Results[i]
		if result.State == NotApplicable {
			continue
		}
		id := name(c.Fault, c.Target)
		n, ok := at[id]
		if !ok {
			n, at[id] = len(list), len(list)
			list = append(list, Row{Fault: c.Fault, Target: c.Target, Least: map[string]Result{}, Worst: i,
				Alerts: true})
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
		if result.State == Unsafe && len(result.Alerts) == 0 {
			row.Alerts = false
		}
	}
	order := map[string]int{}
	for i, c := range r.Plan.Trials {
		if _, ok := order[c.Fault]; !ok {
			order[c.Fault] = i
		}
	}
	slices.SortStableFunc(list, func(a, b Row) int { return order[a.Fault] - order[b.Fault] })
	return list
}

// Unsafe lists the single faults that do harm at some moment, as fault:target, in the order of the catalogue.
func (r *Report) Unsafe() []string {
	var list []string
	for _, row := range r.rows() {
		if r.Results[row.Worst].State == Unsafe {
			list = append(list, name(row.Fault, row.Target))
		}
	}
	return list
}

// NotRun lists the trials that could not be made.
func (r *Report) NotRun() []Result {
	var list []Result
	for _, result := range slices.Concat(r.Results, r.PairResults) {
		if result.State == NotRun {
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
