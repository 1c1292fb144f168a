package sweep

import (
	"encoding/json"
	"io"
	"maps"
	"math"
	"slices"

	"ullage/harness/quantity"
)

// document is a report as JSON.
type document struct {
	Site        string         `json:"site"`
	Seed        uint64         `json:"seed"`
	Stories     []Story        `json:"stories"`
	Totals      map[State]int  `json:"totals"`
	Unprotected []string       `json:"unprotected"` // fault:target
	Accepted    []string       `json:"accepted"`
	Cells       []documentCell `json:"cells"`
	Pairs       []documentCell `json:"pairs"`
	LeftOut     int            `json:"pairs-left-out"`
}

type documentCell struct {
	ID       string            `json:"id"`
	Fault    string            `json:"fault"`
	Target   string            `json:"target"`
	Story    string            `json:"story"`
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
	Usual   Figure   `json:"margin-without-the-fault"`
	Share   *float64 `json:"share,omitempty"` // of the allowance that is left
	Lost    bool     `json:"lost,omitempty"`
	Seconds float64  `json:"at-s"`
}

// WriteJSON writes the whole report, figures in SI units.
func (r *Report) WriteJSON(w io.Writer, accepted []string) error {
	d := document{Site: r.Plan.Site, Seed: r.Plan.Seed, Stories: r.Plan.Stories, Totals: count(r.Results),
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
