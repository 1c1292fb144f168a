package evidence

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"ullage/harness/outcome"
)

// unbounded is the width that a table takes at the most where no terminal bounds it.
const unbounded = 160

// Table prints a run for the console: a line a scenario with a line for each outcome below it, then the totals, the
// three tightest outcomes, where the evidence is, and for everything that did not hold why, and the line that runs it
// again. A width of 0 is an output that is no terminal: nothing is cut. An empty folder is not mentioned.
func Table(w io.Writer, s *Summary, folder string, width int, colour bool) error {
	t := &table{sheet: newSheet(width, colour), s: s}
	t.measure()
	t.head()
	for i := range s.Scenarios {
		t.scenario(&s.Scenarios[i])
	}
	t.line("")
	t.note("", fmt.Sprintf("%s: %s. %s: %s.", plural(s.Totals.Scenarios.All, "scenario"), s.Totals.Scenarios,
		plural(s.Totals.Outcomes.All, "outcome"), s.Totals.Outcomes))
	t.tightest()
	t.thin()
	if folder != "" {
		t.line("")
		t.line("Evidence: " + clean(folder) + "  (open " + clean(filepath.Join(folder, ReportFile)) + ")")
	}
	t.again()
	_, err := w.Write(t.out.Bytes())
	return err
}

// sheet is what the tables of the console have in common: a width and marks of emphasis.
type sheet struct {
	out    bytes.Buffer
	width  int // columns; never less than 60
	cuts   bool
	colour bool
}

func newSheet(width int, colour bool) sheet {
	if width <= 0 {
		return sheet{width: unbounded, colour: colour}
	}
	return sheet{width: max(60, width), cuts: true, colour: colour}
}

// line writes a line and no spaces at its end.
func (t *sheet) line(text string) {
	t.out.WriteString(strings.TrimRight(text, " "))
	t.out.WriteByte('\n')
}

// note writes a text over as many lines as it needs, each behind the same indent. The lines of the text stay lines.
func (t *sheet) note(indent, text string) {
	for _, line := range strings.Split(text, "\n") {
		for _, l := range wrap(clean(line), max(20, t.width-len(indent))) {
			t.line(indent + l)
		}
	}
}

// The escape sequences of emphasis. Colours that people tell apart whatever they see; the word always stands beside.
const (
	bold   = "1"
	dim    = "2"
	blue   = "34"
	orange = "1;33"
)

func (t *sheet) mark(code, text string) string {
	if !t.colour || text == "" {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

func (t *sheet) state(s State, text string) string {
	if s.State == outcome.Held {
		return t.mark(blue, text)
	}
	return t.mark(orange, text)
}

// table is the table of one run.
type table struct {
	sheet
	s                                  *Summary
	text, spare, share, moment, result int // widths of the columns
}

func (t *table) measure() {
	t.text, t.spare, t.share, t.moment, t.result = width("outcome"), width("to spare"), width("share"), width("moment"), width("result")
	for i := range t.s.Scenarios {
		for _, o := range t.s.Scenarios[i].Outcomes {
			share, at := shown(&o)
			t.text = max(t.text, width(clean(o.Text)))
			t.spare = max(t.spare, width(o.ToSpare))
			t.share = max(t.share, width(share))
			t.moment = max(t.moment, width(at))
			t.result = max(t.result, width(o.result()))
		}
	}
	t.text = min(t.text, max(20, t.width-(t.spare+t.share+t.moment+t.result+10)))
}

// shown is the share and the moment of an outcome as text, "" where there is none.
func shown(o *Outcome) (share, at string) {
	if o.Share != nil {
		share = percent(*o.Share)
	}
	if o.At != nil {
		at = clock(o.At.NS)
	}
	return share, at
}

func (t *table) row(text, spare, share, at string) string {
	return "  " + padRight(text, t.text) + "  " + padLeft(spare, t.spare) + "  " + padLeft(share, t.share) + "  " + padRight(at, t.moment) + "  "
}

func (t *table) head() {
	t.line(t.mark(bold, "scenario"))
	t.line(t.mark(bold, t.row("outcome", "to spare", "share", "moment")+"result"))
	t.line(strings.Repeat("─", 2+t.text+2+t.spare+2+t.share+2+t.moment+2+t.result))
}

func (t *table) scenario(r *Record) {
	name := clean(r.Name)
	if t.cuts {
		name = cut(name, t.width)
	}
	t.line(t.mark(bold, name))
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		share, at := shown(o)
		lines := fold(clean(o.Text), t.text)
		t.line(t.row(lines[0], o.ToSpare, share, at) + t.state(o.State, o.result()))
		for _, l := range lines[1:] {
			t.line("  " + l)
		}
	}
	if len(r.Outcomes) == 0 {
		t.line(t.row("(no outcome)", "", "", "") + t.state(r.State, r.State.String()))
	}
}

func (t *table) tightest() {
	list := t.s.tightest(3)
	if len(list) == 0 {
		return
	}
	t.line("")
	t.line(t.mark(bold, "Tightest of those that held"))
	spares, shares := 0, 0
	for _, x := range list {
		spares, shares = max(spares, width(x.Outcome.ToSpare)), max(shares, width(percent(*x.Outcome.Share)))
	}
	for _, x := range list {
		line := "  " + padLeft(percent(*x.Outcome.Share), shares) + "  " + padLeft(x.Outcome.ToSpare, spares) + "  "
		indent := strings.Repeat(" ", spares+shares+6)
		for i, l := range wrap(clean(x.Outcome.Text), max(20, t.width-len(indent))) {
			if i > 0 {
				line = indent
			}
			t.line(line + l)
		}
		t.note(indent, x.Record.Name+", "+x.Record.place())
	}
}

// thin lists what held on the site as it is drawn and is lost at a corner of its tolerances.
func (t *table) thin() {
	if t.s.Totals.Outcomes.Thin == 0 {
		return
	}
	t.line("")
	t.line(t.mark(bold, "Thin: held on the site as drawn, lost at a corner of its tolerances"))
	for i := range t.s.Scenarios {
		r := &t.s.Scenarios[i]
		for _, o := range r.Outcomes {
			if o.Thin != "" {
				t.note("    ", r.Name+", "+o.Text+": "+o.Thin)
			}
		}
	}
}

// again says for everything that did not hold why, and how it is run again.
func (t *table) again() {
	for i := range t.s.Scenarios {
		r := &t.s.Scenarios[i]
		if r.State.State == outcome.Held {
			continue
		}
		t.line("")
		t.line(t.state(r.State, r.State.sign()+" "+r.State.String()) + "  " + clean(r.Name))
		if r.Error != "" { // it is about the scenario and not about one of its outcomes
			t.note("    ", r.Error)
		}
		for _, o := range r.Outcomes {
			if o.State.State != outcome.Held && o.Why != r.Error {
				t.note("    ", o.Text+": "+o.Why)
			}
		}
		t.line("    again: " + clean(r.Replay))
	}
}
