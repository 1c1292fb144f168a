package sweep

import (
	"fmt"
	"math"
	"strings"

	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// State is what a trial came to.
type State string

// The states of a trial.
const (
	// the fault has an effect, and every standing outcome passes that passes without it
	Safe          State = "safe"
	Unsafe        State = "unsafe"         // a standing outcome fails that passes without the fault
	NoEffect      State = "no effect"      // nothing differs from the run without the fault: this proves nothing
	NotApplicable State = "not applicable" // the stand cannot realise the fault on this target
	Inconclusive  State = "inconclusive"   // with the latent fault the sequence does not reach the moment
	NotRun        State = "not run"        // the run could not be made
)

// Result is what became of a trial, with the seed at which the least was left.
type Result struct {
	ID       string         `json:"id"`
	State    State          `json:"state"`
	Seed     uint64         `json:"seed"`
	Why      string         `json:"why,omitempty"`
	Outcomes []Judgement    `json:"outcomes,omitempty"`
	Alerts   map[string]int `json:"alerts,omitempty"`  // by name, those that came besides what comes without the fault
	Touched  []string       `json:"touched,omitempty"` // devices that show something else than without the fault
	Silent   bool           `json:"silent,omitempty"`  // the run gave less than half of its water, and no alert came
}

// Judgement is what became of one standing outcome.
type Judgement struct {
	Text      string             `json:"text"`
	State     outcome.State      `json:"state"`
	Margin    Figure             `json:"margin"` // SI
	Usual     Figure             `json:"usual"`  // without the fault
	Allowance float64            `json:"allowance"`
	Dim       quantity.Dimension `json:"dim"`
	At        signal.Time        `json:"at"`
	Lost      bool               `json:"lost,omitempty"` // fails with the fault and not without
}

// Share is the margin as a share of the allowance; +Inf where there is none to speak of.
func (j Judgement) Share() float64 {
	if j.State != outcome.Held && j.State != outcome.Failed || j.Allowance == 0 {
		return math.Inf(1)
	}
	return float64(j.Margin) / j.Allowance
}

// Costs reports whether the fault takes a hundredth of the allowance or more off the margin.
func (j Judgement) Costs() bool {
	return !math.IsInf(j.Share(), 0) && float64(j.Margin) < float64(j.Usual)-float64(0.01*math.Abs(j.Allowance))
}

// Tightest is the outcome with the smallest share left: of those that are lost if any are, else of those whose margin
// the fault costs something; ok reports whether there is one. A late alert counts only where water does no harm.
func (r Result) Tightest() (j Judgement, ok bool) {
	for _, o := range r.Outcomes {
		if r.State == Unsafe && !o.Lost || r.State != Unsafe && !o.Costs() {
			continue
		}
		if !ok || j.isAlert() && !o.isAlert() || j.isAlert() == o.isAlert() && o.Share() < j.Share() {
			j, ok = o, true
		}
	}
	return j, ok
}

func (j Judgement) isAlert() bool { return strings.HasPrefix(j.Text, "the alert ") }

// Figure is a margin. Where there is none it is +Inf, above everything, and null in JSON.
type Figure float64

// figure is the margin of a verdict.
func figure(v outcome.Verdict) Figure {
	if v.NoMargin {
		return Figure(math.Inf(1))
	}
	return Figure(v.Margin)
}

// MarshalJSON writes null for what is not finite.
func (f Figure) MarshalJSON() ([]byte, error) {
	if math.IsInf(float64(f), 0) || math.IsNaN(float64(f)) {
		return []byte("null"), nil
	}
	return fmt.Appendf(nil, "%v", float64(f)), nil
}

// UnmarshalJSON reads null as +Inf.
func (f *Figure) UnmarshalJSON(text []byte) error {
	if string(text) == "null" {
		*f = Figure(math.Inf(1))
		return nil
	}
	_, err := fmt.Sscan(string(text), (*float64)(f))
	return err
}
