package sweep

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"ullage/harness/console"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/spelling"
)

// Print prints a report for the console: the matrix, the single faults that nothing protects against, those without an
// alert, the dangerous pairs, the limits of the sweep, and a line of caution. accepted are those of the single faults that are known. A
// width of 0 is an output that is no terminal.
func (r *Report) Print(w io.Writer, accepted []string, width int, colour bool) error {
	t := &printer{Sheet: console.NewSheet(width, colour), Report: r, accepted: accepted}
	t.head()
	t.matrix()
	t.unsafe()
	t.silent()
	t.pairs()
	t.unsaid()
	t.Note("", fault.Caution)
	return t.Sheet.Print(w)
}

type printer struct {
	console.Sheet
	*Report
	accepted []string
}

func (t *printer) head() {
	rows := t.rows()
	n := count(t.Results)
	t.Line(t.Mark(console.Bold, "SWEEP OF "+t.Plan.Site))
	t.Note(
		"",
		fmt.Sprintf(
			"%d faults on their targets, %d trials in %d sequences: %d safe, %d unsafe, %d without effect. Then %s.",
			len(
				rows,
			),
			len(t.Results)-n[NotApplicable],
			len(t.Plan.Sequences),
			n[Safe],
			n[Unsafe],
			n[NoEffect],
			spelling.Count(len(t.PairResults), "pair"),
		),
	)
	if t.Seeds > 1 {
		t.Note("", fmt.Sprintf("Trials with random draws were run with %d seeds, %d to %d; the smallest margin counts.",
			t.Seeds, t.Plan.Seed, t.Plan.Seed+uint64(t.Seeds)-1))
	}
	t.Line("")
}

// matrix prints a row for each fault and target, a column for each moment.
func (t *printer) matrix() {
	moments := slices.DeleteFunc(Moments(), func(m string) bool {
		return !slices.ContainsFunc(t.Plan.Trials, func(c Trial) bool { return c.Moment == m })
	})
	rows := t.rows()
	first, second := len("fault"), len("target")
	for _, row := range rows {
		first, second = max(first, console.Width(row.Fault)), max(second, console.Width(row.Target))
	}
	line := console.PadRight("fault", first) + "  " + console.PadRight("target", second)
	for _, m := range moments {
		line += "  " + console.PadLeft(m, column(m))
	}
	t.Line(line + "  smallest margin")
	for _, row := range rows {
		line := console.PadRight(row.Fault, first) + "  " + console.PadRight(row.Target, second)
		for _, m := range moments {
			line += "  " + console.PadLeft(mark(row.Least[m]), column(m))
		}
		t.Line(line + "  " + t.least(row))
	}
	t.Line("")
	t.Note(
		"",
		"A figure is the smallest margin over all sequences, as a share of the limit; below 0 the outcome failed. "+
			"= effect, no margin lost; . no effect, proves nothing; blank not tried.",
	)
}

func column(moment string) int { return max(len(moment), 7) }

// mark is a trial of the matrix.
func mark(r Result) string {
	switch r.State {
	case NoEffect:
		return "."
	case NotRun:
		return "not run"
	case Safe, Unsafe:
		if j, ok := r.Tightest(); ok {
			return quantity.Percent(j.Share())
		}
		return "="
	}
	return ""
}

// least says what was tightest in a row.
func (t *printer) least(row Row) string {
	j, ok := t.Results[row.Worst].Tightest()
	if !ok {
		return ""
	}
	c := t.Plan.Trials[row.Worst]
	return fmt.Sprintf("%s (%s): %s", quantity.Format(float64(j.Margin), j.Dim), c.place(), j.Text)
}

// place is the sequence and the moment of a trial.
func (c Trial) place() string {
	if c.Sequence == c.Moment {
		return c.Moment
	}
	return c.Sequence + ", " + c.Moment
}

func (t *printer) section(title string) {
	t.Line("")
	t.Line(t.Mark(console.Bold, title))
}

// unsafe prints the single faults that nothing protects against.
func (t *printer) unsafe() {
	rows := slices.DeleteFunc(t.rows(), func(row Row) bool { return t.Results[row.Worst].State != Unsafe })
	t.section(fmt.Sprintf("SINGLE FAULTS THAT BREAK A LIMIT: %d", len(rows)))
	for _, row := range rows {
		r, c := t.Results[row.Worst], t.Plan.Trials[row.Worst]
		entry, _ := fault.Find(row.Fault)
		id := name(row.Fault, row.Target)
		title := id
		if Accepts(t.accepted, id) {
			title += "  (accepted)"
		}
		t.Line(t.Mark(console.Orange, title))
		for _, j := range r.Outcomes {
			if j.Lost {
				t.Note("    ", fmt.Sprintf("%s: %s over, %s", j.Text, quantity.Format(-float64(j.Margin), j.Dim),
					c.place()))
			}
		}
		alerts := "An alert arrives in every unsafe trial."
		if !row.Alerts {
			alerts = "No alert arrives."
			if len(r.Alerts) > 0 {
				alerts = "In some unsafe trials no alert arrives."
			}
		}
		t.Note("    ", entry.EndEffect+" "+alerts)
		t.Note("    ", "Check: "+entry.Check)
		t.Note("    ", entry.Caution())
		t.Line("    " + t.Plan.command(c.ID))
	}
	t.acceptedNeedlessly()
}

// acceptedNeedlessly says what became of each accepted fault that did no harm. One that this sweep did not try is left
// out.
func (t *printer) acceptedNeedlessly() {
	for _, a := range t.accepted {
		n := map[State]int{}
		for i, c := range t.Plan.Trials {
			if Accepts([]string{a}, name(c.Fault, c.Target)) {
				n[t.Results[i].State]++
			}
		}
		switch {
		case n[Unsafe] > 0 || n[NotRun] > 0:
		case n[Safe] > 0:
			t.Note("", "accepted, and safe by now: "+a)
		case n[NoEffect] > 0:
			t.Note("", "accepted, and without effect, which proves nothing: "+a)
		case n[NotApplicable] > 0:
			t.Note("", "accepted, and not applicable: "+a)
		}
	}
}

// silent prints the faults that keep the water away and that nobody hears of.
func (t *printer) silent() {
	var list []string
	for _, row := range t.rows() {
		if row.Silent > 0 {
			list = append(list, name(row.Fault, row.Target))
		}
	}
	if len(list) == 0 {
		return
	}
	t.section(fmt.Sprintf("SINGLE FAULTS THAT WITHHOLD WATER WITHOUT AN ALERT: %d", len(list)))
	t.Note("    ", "A run delivers less than half of its water, and no alert arrives while it is watched.")
	t.Note("    ", strings.Join(list, ", "))
}

// pairs prints the dangerous pairs, those of one second fault together.
func (t *printer) pairs() {
	n := count(t.PairResults)
	t.section(fmt.Sprintf("DANGEROUS PAIRS: %d of %d tried", n[Unsafe], len(t.PairTrials)))
	t.Note("    ", "The first alone costs no margin and raises no alert; the second alone does not break the limit.")
	for _, g := range t.groups() {
		t.Line(t.Mark(console.Orange, fmt.Sprintf("%s (%s) with %s (%s)", g.second, failures(g.seconds), g.first,
			failures(g.firsts))))
		for _, j := range g.worst.Outcomes {
			if j.Lost {
				t.Note("    ", fmt.Sprintf("%s: up to %s over, %s", j.Text, quantity.Format(-float64(j.Margin), j.Dim),
					g.trial.place()))
			}
		}
		t.Line("    " + t.Plan.command(g.trial.ID))
	}
	if t.LeftOut > 0 {
		t.Note("    ", fmt.Sprintf("%d pairs were not tried, those with the largest margins; --pairs %d tries all.",
			t.LeftOut, t.LeftOut+len(t.PairTrials)))
	}
	if n[Inconclusive] > 0 {
		t.Note(
			"    ",
			fmt.Sprintf(
				"%d pairs inconclusive: with the first fault the sequence does not reach the moment of the second.",
				n[Inconclusive],
			),
		)
	}
}

// unsaid prints what the sweep could not say.
func (t *printer) unsaid() {
	t.section("LIMITS OF THIS SWEEP")
	t.Note(
		"    ",
		fmt.Sprintf(
			"Each fault has the %s figures of the catalogue (--figures). Each trial is watched for %s after its fault: what takes days, as a bed that dries out, does not show.",
			t.Plan.figures(),
			seconds(horizon(t.Plan.spec.Controller.Settings)),
		),
	)
	for _, s := range t.Plan.Sequences {
		if s.Missing != "" {
			t.Note("    ", fmt.Sprintf("%s: not run, as %s.", s.Name, s.Missing))
		}
		for _, d := range s.Dropped {
			t.Note("    ", fmt.Sprintf("%s: fails without any fault, and is not judged: %s", s.Name, d))
		}
	}
	never := map[string][]string{}
	for _, row := range t.rows() {
		if t.Results[row.Worst].State == NoEffect {
			never[row.Fault] = append(never[row.Fault], row.Target)
		}
	}
	t.listed("without effect at every moment", never)
	t.notApplicable()
	for _, b := range t.NotRun() {
		t.Note("    ", "not run: "+b.ID+": "+b.Why)
	}
}

// notApplicable prints what does not apply to a target of its kind, and why.
func (t *printer) notApplicable() {
	refused := slices.Clone(t.Plan.Refused)
	for i, r := range t.Results {
		if c := t.Plan.Trials[i]; r.State == NotApplicable &&
			!slices.ContainsFunc(refused, func(x Refusal) bool { return x.Fault == c.Fault && x.Target == c.Target }) {
			refused = append(refused, Refusal{c.Fault, c.Target, r.Why})
		}
	}
	for i, r := range refused {
		if i == 0 || refused[i-1].Fault != r.Fault {
			var targets []string
			for _, other := range refused[i:] {
				if other.Fault == r.Fault {
					targets = append(targets, other.Target)
				}
			}
			t.Note("    ", fmt.Sprintf("not applicable: %s (%s): %s.", r.Fault, strings.Join(targets, ", "), r.Why))
		}
	}
}

// listed prints targets by fault.
func (t *printer) listed(title string, targets map[string][]string) {
	var parts []string
	for _, e := range fault.Catalogue() {
		if list := targets[e.ID]; list != nil {
			parts = append(parts, e.ID+" ("+strings.Join(list, ", ")+")")
		}
	}
	if parts != nil {
		t.Note("    ", title+": "+strings.Join(parts, ", ")+".")
	}
}
