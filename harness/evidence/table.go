package evidence

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"ullage/harness/console"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/spelling"
)

// Table prints a run for the console: a line a scenario with a line for each outcome below it, then the totals, the
// smallest margin of each dimension, where the evidence is, for everything that did not hold why, and the line that
// repeats it, and a line of caution. A width of 0 is an output that is no terminal: nothing is cut. An empty folder is not mentioned.
func Table(w io.Writer, s *Summary, folder string, width int, colour bool) error {
	t := &table{sheet: sheet{console.NewSheet(width, colour)}, s: s}
	t.measure()
	t.head()
	for i := range s.Scenarios {
		t.scenario(&s.Scenarios[i])
	}
	t.Line("")
	if !t.s.Complete {
		t.Line(t.Mark(console.Orange, "Incomplete: the run was broken off."))
	}
	t.Note("", fmt.Sprintf("%s: %s. %s: %s.", spelling.Count(s.Totals.Scenarios.All, "scenario"), s.Totals.Scenarios,
		spelling.Count(s.Totals.Outcomes.All, "outcome"), s.Totals.Outcomes))
	t.smallest()
	t.marginal()
	t.assumed()
	if folder != "" {
		t.Line("")
		t.Line(
			"Evidence: " + console.Clean(folder) + "  (open " + console.Clean(filepath.Join(folder, ReportFile)) + ")",
		)
	}
	t.failures()
	t.Line("")
	t.Note("", fault.Caution)
	return t.Print(w)
}

// sheet is what the tables of the console have in common.
type sheet struct{ console.Sheet }

func (t *sheet) state(s State, text string) string {
	if s.State == outcome.Held {
		return t.Mark(console.Blue, text)
	}
	return t.Mark(console.Orange, text)
}

// table is the table of one run.
type table struct {
	sheet
	s                                   *Summary
	text, margin, share, moment, result int // widths of the columns
}

func (t *table) measure() {
	t.text, t.margin, t.share, t.moment, t.result = console.Width(
		"outcome",
	), console.Width(
		"margin",
	), console.Width(
		"share",
	), console.Width(
		"moment",
	), console.Width(
		"result",
	)
	for i := range t.s.Scenarios {
		for _, o := range t.s.Scenarios[i].Outcomes {
			share, at := shown(&o)
			t.text = max(t.text, console.Width(console.Clean(o.Text)))
			t.margin = max(t.margin, console.Width(o.MarginText))
			t.share = max(t.share, console.Width(share))
			t.moment = max(t.moment, console.Width(at))
			t.result = max(t.result, console.Width(o.result()))
		}
	}
	t.text = min(t.text, max(20, t.Width-(t.margin+t.share+t.moment+t.result+10)))
}

// shown is the share and the moment of an outcome as text, "" where there is none.
func shown(o *Outcome) (share, at string) {
	if o.Share != nil {
		share = quantity.Percent(*o.Share)
	}
	if o.At != nil {
		at = clock(o.At.NS)
	}
	return share, at
}

func (t *table) row(text, margin, share, at string) string {
	return "  " + console.PadRight(
		text,
		t.text,
	) + "  " + console.PadLeft(
		margin,
		t.margin,
	) + "  " + console.PadLeft(
		share,
		t.share,
	) + "  " + console.PadRight(
		at,
		t.moment,
	) + "  "
}

func (t *table) head() {
	t.Line(t.Mark(console.Bold, "scenario"))
	t.Line(t.Mark(console.Bold, t.row("outcome", "margin", "share", "moment")+"result"))
	t.Line(strings.Repeat("─", 2+t.text+2+t.margin+2+t.share+2+t.moment+2+t.result))
}

func (t *table) scenario(r *Record) {
	name := console.Clean(r.Name)
	if t.Cuts {
		name = console.Cut(name, t.Width)
	}
	t.Line(t.Mark(console.Bold, name))
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		share, at := shown(o)
		lines := console.Fold(console.Clean(o.Text), t.text)
		t.Line(t.row(lines[0], o.MarginText, share, at) + t.state(o.State, o.result()))
		for _, l := range lines[1:] {
			t.Line("  " + l)
		}
		if o.Short != "" {
			t.Note("    ", o.Short)
		}
	}
	if len(r.Outcomes) == 0 {
		t.Line(t.row("(no outcome)", "", "", "") + t.state(r.State, r.State.String()))
	}
}

// assumed names what the site files do not say.
func (t *table) assumed() {
	if len(t.s.Assumed) == 0 {
		return
	}
	t.Line("")
	t.Line(t.Mark(console.Bold, assumedHeading))
	for _, a := range Assumptions(t.s.Assumed) {
		t.Note("  ", a.Sites+": "+a.Text)
	}
}

func (t *table) smallest() {
	list := t.s.smallest()
	if len(list) == 0 {
		return
	}
	t.Line("")
	t.Line(t.Mark(console.Bold, "Smallest margins that passed, one for each quantity"))
	margins, shares := 0, 0
	for _, x := range list {
		margins, shares = max(
			margins,
			console.Width(x.Outcome.MarginText),
		), max(
			shares,
			console.Width(quantity.Percent(*x.Outcome.Share)),
		)
	}
	for _, x := range list {
		line := "  " + console.PadLeft(
			quantity.Percent(*x.Outcome.Share),
			shares,
		) + "  " + console.PadLeft(
			x.Outcome.MarginText,
			margins,
		) + "  "
		indent := strings.Repeat(" ", margins+shares+6)
		for i, l := range console.Wrap(console.Clean(x.Outcome.Text), max(20, t.Width-len(indent))) {
			if i > 0 {
				line = indent
			}
			t.Line(line + l)
		}
		if x.Outcome.Short != "" {
			t.Note(indent, x.Outcome.Short)
		}
		t.Note(indent, x.Record.Name+", "+x.Record.place())
	}
}

// marginal lists what passes on the site as it is drawn and fails at a limit of its tolerances.
func (t *table) marginal() {
	if t.s.Totals.Outcomes.Marginal == 0 {
		return
	}
	t.Line("")
	t.Line(t.Mark(console.Bold, "Marginal: passes as drawn, fails at a limit of the tolerances"))
	for i := range t.s.Scenarios {
		r := &t.s.Scenarios[i]
		for _, o := range r.Outcomes {
			if o.Marginal != "" {
				t.Note("    ", r.Name+", "+o.Text+": "+o.Marginal)
			}
		}
	}
}

// failures says for everything that did not hold why, and how it is repeated.
func (t *table) failures() {
	for i := range t.s.Scenarios {
		r := &t.s.Scenarios[i]
		if r.State.State == outcome.Held {
			continue
		}
		t.Line("")
		t.Line(t.state(r.State, r.State.sign()+" "+r.State.String()) + "  " + console.Clean(r.Name))
		if r.Error != "" { // it is about the scenario and not about one of its outcomes
			t.Note("    ", r.Error)
		}
		for _, o := range r.Outcomes {
			if o.State.State != outcome.Held && o.Why != r.Error {
				t.Note("    ", o.Text+": "+o.Why)
			}
		}
		t.Line("    repeat: " + console.Clean(r.Repeat))
	}
}
