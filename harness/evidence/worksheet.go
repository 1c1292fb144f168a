package evidence

import (
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strconv"
	"strings"

	"ullage/harness/console"
	"ullage/harness/worksheet"
)

// The worksheet of failure modes in an evidence folder.
const (
	WorksheetFile    = "worksheet.html"
	WorksheetCSVFile = "worksheet.csv"
)

// Worksheet is the failure-mode worksheet that a run fills in.
type Worksheet struct {
	Sheet     *worksheet.Worksheet `json:"sheet"`
	SuiteTags []string             `json:"suite_tags"` // of the scenarios of the suite, also of those that were not run
	Whole     bool                 `json:"whole"`      // SuiteTags are all of them: a row none of whose tags is there is open
}

// What became of a row besides the states of its scenarios.
const (
	rowOpen   = "open"    // no scenario shows what becomes of it
	rowNotRun = "not run" // it has scenarios, none of which was part of this run
)

// filledRow is a row with what the run says of it.
type filledRow struct {
	worksheet.Row
	Number  int
	Tags    []string
	Played  []*Record // the scenarios of this run
	Result  string    // the worst of theirs, open or not run
	Least   *Outcome  // with the least share of its allowance left, of those in the worst state; nil without a margin
	LeastOf *Record
}

// fill looks up the scenarios of each row among those that were run.
func (ws *Worksheet) fill(s *Summary) []filledRow {
	var list []filledRow
	for i, r := range ws.Sheet.Rows {
		row := filledRow{Row: r.Full(), Number: i + 1, Tags: r.Tags(), Result: rowNotRun}
		if ws.Whole && r.Open(ws.SuiteTags) || len(row.Tags) == 0 {
			row.Result = rowOpen
		}
		for j := range s.Scenarios {
			record := &s.Scenarios[j]
			if slices.ContainsFunc(row.Tags, func(tag string) bool { return slices.Contains(record.Tags, tag) }) {
				row.add(record)
			}
		}
		list = append(list, row)
	}
	return list
}

// add counts a scenario of the run to the row.
func (f *filledRow) add(r *Record) {
	f.Played = append(f.Played, r)
	worst, isMarginal := r.State, false
	for _, p := range f.Played {
		if p.State.rank() < worst.rank() {
			worst = p.State
		}
		isMarginal = isMarginal || p.marginal()
	}
	f.Result = resultOf(worst, isMarginal)
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; o.Margin != nil && (f.Least == nil || closer(o, f.Least)) {
			f.Least, f.LeastOf = o, r
		}
	}
}

// counts says how many rows have each result, in the order in which they first come.
func counts(rows []filledRow) string {
	var results, parts []string
	number := map[string]int{}
	for _, r := range rows {
		if number[r.Result]++; number[r.Result] == 1 {
			results = append(results, r.Result)
		}
	}
	for _, r := range results {
		parts = append(parts, fmt.Sprintf("%d %s", number[r], r))
	}
	return strings.Join(parts, ", ")
}

// headings are the columns of worksheet.csv. Margin and unit are numbers to calculate with, the margin as text is for
// reading.
var headings = []string{
	"row",
	"item",
	"failure mode",
	"cause",
	"fault",
	"local effect",
	"end effect",
	"detection",
	"severity",
	"scenario tags",
	"scenarios",
	"result",
	"margin as text",
	"margin",
	"unit",
	"share of the allowance",
	"outcome with the smallest margin",
	"its scenario",
}

// csv writes worksheet.csv.
func (ws *Worksheet) csv(out io.Writer, s *Summary) error {
	w := csv.NewWriter(out)
	rows := [][]string{headings}
	for _, r := range ws.fill(s) {
		var places []string
		for _, p := range r.Played {
			places = append(places, p.place())
		}
		texts := []string{r.Item, r.Mode, r.Cause, r.Fault, r.LocalEffect, r.EndEffect, r.Detection, r.Severity,
			strings.Join(r.Tags, " "), strings.Join(places, " "), r.Result}
		figures, least := make([]string, 3), make([]string, 2)
		if o := r.Least; o != nil {
			texts = append(texts, o.MarginText)
			figures = []string{strconv.FormatFloat(*o.Margin, 'g', -1, 64), cell(o.Unit), ""}
			if o.Share != nil {
				figures[2] = strconv.FormatFloat(*o.Share, 'g', -1, 64)
			}
			least = []string{cell(printable(o.Text)), cell(printable(r.LeastOf.Name))}
		} else {
			texts = append(texts, "")
		}
		for i := range texts {
			texts[i] = cell(printable(texts[i]))
		}
		rows = append(rows, slices.Concat([]string{strconv.Itoa(r.Number)}, texts, figures, least))
	}
	return w.WriteAll(rows)
}

// printable shows control characters as \x1b, so that a cell that is printed does not steer a terminal. Line ends stay.
func printable(text string) string {
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		lines[i] = console.Clean(l)
	}
	return strings.Join(lines, "\n")
}

// class is the place of a severity, 0 the worst.
func (ws *Worksheet) class(name string) int {
	return slices.IndexFunc(ws.Sheet.Severities, func(s worksheet.Severity) bool { return s.Name == name })
}

// sheetPage is what the page of the worksheet is filled with.
type sheetPage struct {
	page
	Sheet  *worksheet.Worksheet
	Filled []filledRow
	Open   []filledRow
}

// html writes worksheet.html: one file that fetches nothing and has no script. Its links lead into report.html beside
// it.
func (ws *Worksheet) html(out io.Writer, s *Summary) error {
	rows := ws.fill(s)
	open := slices.DeleteFunc(slices.Clone(rows), func(r filledRow) bool { return r.Result != rowOpen })
	slices.SortStableFunc(open, func(a, b filledRow) int { return ws.class(a.Severity) - ws.class(b.Severity) })
	p := sheetPage{newPage(s), ws.Sheet, rows, open}
	p.Style += template.CSS(worksheetStyle)
	p.Rows = counts(rows)
	return reportTemplate.ExecuteTemplate(out, "worksheet", p)
}
