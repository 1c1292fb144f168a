package sweep

import (
	"encoding/json"
	"io"
	"maps"
	"math"
	"slices"

	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// document is a report as JSON.
type document struct {
	Site        string         `json:"site"`
	Seed        uint64         `json:"seed"`
	Figures     fault.Severity `json:"figures"`
	Stories     []Story        `json:"sequences"`
	Totals      map[State]int  `json:"totals"`
	Unprotected []string       `json:"unsafe"` // fault:target
	Accepted    []string       `json:"accepted"`
	Cells       []documentCell `json:"trials"`
	Pairs       []documentCell `json:"pairs"`
	LeftOut     int            `json:"pairs_left_out"`
}

type documentCell struct {
	ID       string            `json:"id"`
	Fault    string            `json:"fault"`
	Target   string            `json:"target"`
	Story    string            `json:"sequence"`
	Moment   string            `json:"moment"`
	Beside   *Beside           `json:"beside,omitempty"`
	State    State             `json:"state"`
	Why      string            `json:"why,omitempty"`
	Seed     uint64            `json:"seed"`
	Silent   bool              `json:"silent,omitempty"`
	Alerts   []string          `json:"alerts,omitempty"`
	Outcomes []documentOutcome `json:"outcomes,omitempty"`
}

type documentOutcome struct {
	Text    string   `json:"text"`
	State   string   `json:"state"`
	Margin  Figure   `json:"margin"` // SI; null when nothing could break it
	Unit    string   `json:"unit"`
	Usual   Figure   `json:"margin_without_fault"`
	Share   *float64 `json:"share,omitempty"` // of the allowance that is left
	Lost    bool     `json:"failed_by_fault,omitempty"`
	Seconds float64  `json:"at_s"`
}

// WriteJSON writes the whole report, figures in SI units.
func (r *Report) WriteJSON(w io.Writer, accepted []string) error {
	d := document{Site: r.Plan.Site, Seed: r.Plan.Seed, Figures: r.Plan.figures(), Stories: r.Plan.Stories, Totals: count(r.Results),
		Unprotected: append([]string{}, r.Unprotected()...), Accepted: append([]string{}, accepted...), LeftOut: r.LeftOut,
		Cells: documentCells(r.Plan.Cells, r.Results), Pairs: documentCells(r.PairCells, r.PairResults)}
	encoder := json.NewEncoder(w)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(d)
}

func documentCells(cells []Cell, results []Result) []documentCell {
	list := []documentCell{}
	for i, c := range cells {
		r := results[i]
		d := documentCell{ID: c.ID, Fault: c.Fault, Target: c.Target, Story: c.Story, Moment: c.Moment, Beside: c.Beside,
			State: r.State, Why: r.Why, Seed: r.Seed, Silent: r.Silent, Alerts: slices.Sorted(maps.Keys(r.Alerts))}
		for _, j := range r.Outcomes {
			o := documentOutcome{Text: j.Text, State: j.State.String(), Margin: j.Margin, Unit: quantity.Unit(j.Dim), Usual: j.Usual,
				Lost: j.Lost, Seconds: j.At.Seconds()}
			if s := j.Share(); !math.IsInf(s, 0) {
				o.Share = &s
			}
			d.Outcomes = append(d.Outcomes, o)
		}
		list = append(list, d)
	}
	return list
}
