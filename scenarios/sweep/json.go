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
	Site      string          `json:"site"`
	Seed      uint64          `json:"seed"`
	Figures   fault.Severity  `json:"figures"`
	Sequences []Sequence      `json:"sequences"`
	Totals    map[State]int   `json:"totals"`
	Unsafe    []string        `json:"unsafe"` // fault:target
	Accepted  []string        `json:"accepted"`
	Trials    []documentTrial `json:"trials"`
	Pairs     []documentTrial `json:"pairs"`
	LeftOut   int             `json:"pairs_left_out"`
}

type documentTrial struct {
	ID       string            `json:"id"`
	Fault    string            `json:"fault"`
	Target   string            `json:"target"`
	Sequence string            `json:"sequence"`
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
	d := document{Site: r.Plan.Site, Seed: r.Plan.Seed, Figures: r.Plan.figures(), Sequences: r.Plan.Sequences,
		Totals: count(r.Results),
		Unsafe: append([]string{}, r.Unsafe()...), Accepted: append([]string{}, accepted...), LeftOut: r.LeftOut,
		Trials: documentTrials(r.Plan.Trials, r.Results), Pairs: documentTrials(r.PairTrials, r.PairResults)}
	encoder := json.NewEncoder(w)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(d)
}

func documentTrials(trials []Trial, results []Result) []documentTrial {
	list := []documentTrial{}
	for i, c := range trials {
		r := results[i]
		d := documentTrial{ID: c.ID, Fault: c.Fault, Target: c.Target, Sequence: c.Sequence, Moment: c.Moment,
			Beside: c.Beside,
			State:  r.State, Why: r.Why, Seed: r.Seed, Silent: r.Silent, Alerts: slices.Sorted(maps.Keys(r.Alerts))}
		for _, j := range r.Outcomes {
			o := documentOutcome{Text: j.Text, State: j.State.String(), Margin: j.Margin, Unit: quantity.Unit(j.Dim),
				Usual: j.Usual,
				Lost:  j.Lost, Seconds: j.At.Seconds()}
			if s := j.Share(); !math.IsInf(s, 0) {
				o.Share = &s
			}
			d.Outcomes = append(d.Outcomes, o)
		}
		list = append(list, d)
	}
	return list
}
