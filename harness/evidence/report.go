package evidence

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"ullage/harness/console"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/spelling"
)

//go:embed report.css
var reportStyle string

//go:embed report.js
var reportScript string

//go:embed report.tmpl
var reportText string

//go:embed worksheet.tmpl
var worksheetText string

//go:embed worksheet.css
var worksheetStyle string

var reportTemplate = template.Must(template.New("report").Funcs(template.FuncMap{
	"percent":   func(share *float64) string { return quantity.Percent(*share) },
	"clock":     func(m Moment) string { return clock(m.NS) },
	"bar":       bar,
	"anchor":    anchor,
	"clean":     console.Clean,
	"place":     func(r *Record) string { return r.place() },
	"kind":      kind,
	"result":    func(r interface{ result() string }) string { return r.result() },
	"remark":    func(r *Record) string { return r.remark() },
	"scenarios": func(n int) string { return spelling.Count(n, "scenario") },
	"assumed":   func() string { return assumedHeading },
	"decisive":  func(r *Record) *Outcome { return r.decisive() },
	"until": func(w Window) string {
		if w.Until == nil {
			return "the end"
		}
		return clock(w.Until.NS)
	},
}).Parse(reportText + worksheetText))

// page is what the report's frame is filled with.
type page struct {
	*Summary
	Style    template.CSS
	Script   template.JS
	Policy   string // lets no script run but ours, and nothing be fetched
	Smallest []ranked
	Assumed  []Assumption
	Rows     string // what became of the rows of the worksheet, "" without one
	Details  []template.HTML
}

// newPage is the frame of a page about a run.
func newPage(s *Summary) page {
	hash := sha256.Sum256([]byte(reportScript))
	return page{Summary: s, Style: template.CSS(reportStyle), Script: template.JS(reportScript), Smallest: s.smallest(),
		Assumed: Assumptions(s.Assumed),
		Policy: "default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(
			hash[:],
		) + "'"}
}

// report writes report.html: one file that fetches nothing and needs no script to be read.
func report(w io.Writer, s *Summary, details []template.HTML, sheet *Worksheet) error {
	p := newPage(s)
	p.Details = details
	if sheet != nil {
		p.Rows = counts(sheet.fill(s))
	}
	return reportTemplate.ExecuteTemplate(w, "page", p)
}

// kind is the class of a result in the style sheet, which draws a vessel beside it: full, half full, empty, or dashed.
func kind(result string) string {
	switch result {
	case outcome.Held.String():
		return "held"
	case marginal:
		return "marginal"
	case outcome.Failed.String():
		return "failed"
	case outcome.NotRun.String():
		return "not-run"
	case outcome.NotExercised.String(), outcome.NotRecorded.String(), rowOpen:
		return "unproven"
	}
	return "broken"
}

// bar is the length of the bar that shows a share, in percent of the whole.
func bar(share *float64) string {
	return fmt.Sprintf("%.1f", 100*math.Min(1, math.Max(0, *share)))
}

// anchor names the place of a scenario in the report.
func anchor(r *Record) string {
	return strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' {
			return c
		}
		return '-'
	}, r.place())
}
