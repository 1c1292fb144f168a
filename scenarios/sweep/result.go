package sweep

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/scenarios"
)

// State is what a cell came to.
type State string

// The states of a cell.
const (
	Held       State = "held"        // the fault was met, and every standing outcome holds
	Harm       State = "harm"        // a standing outcome is lost that holds without the fault
	NotMet     State = "not met"     // nothing was otherwise for the fault: this says nothing
	Impossible State = "impossible"  // the stand cannot realise the fault on this target
	NotReached State = "not reached" // beside the latent fault the story does not come to the moment
	Broken     State = "broken"      // the run could not be made
)

// Result is what became of a cell, with the seed at which the least was left.
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

// Costs tells whether the fault takes a hundredth of the allowance or more off the margin.
func (j Judgement) Costs() bool {
	return !math.IsInf(j.Share(), 0) && float64(j.Margin) < float64(j.Usual)-float64(0.01*math.Abs(j.Allowance))
}

// Tightest is the outcome with the smallest share left: of those that are lost if any are, else of those whose margin the
// fault costs something; ok tells whether there is one. A late alert counts only where water does no harm.
func (r Result) Tightest() (j Judgement, ok bool) {
	for _, o := range r.Outcomes {
		if r.State == Harm && !o.Lost || r.State != Harm && !o.Costs() {
			continue
		}
		if !ok || j.isAlert() && !o.isAlert() || j.isAlert() == o.isAlert() && o.Share() < j.Share() {
			j, ok = o, true
		}
	}
	return j, ok
}

func (j Judgement) isAlert() bool { return strings.HasPrefix(j.Text, "the alert ") }

// Figure is a number that may be infinite, which JSON has no way to say: it is null there, and above everything when read.
type Figure float64

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

// try runs a cell with as many seeds and returns the result with the least to spare. Where a second seed gives the same
// margins to the bit, nothing is drawn that matters and no third is tried.
func (p *Plan) try(ctx context.Context, c Cell, seeds int) (Result, error) {
	var worst Result
	for n := range uint64(max(1, seeds)) {
		r, err := p.tryOnce(ctx, c, p.Seed+n)
		if err != nil {
			return r, err
		}
		same := n == 1 && sameMargins(worst, r)
		if n == 0 || worseThan(r, worst) {
			worst = r
		}
		if same {
			break
		}
	}
	return worst, nil
}

func sameMargins(a, b Result) bool {
	if a.State != b.State || len(a.Outcomes) != len(b.Outcomes) {
		return false
	}
	for i := range a.Outcomes {
		if a.Outcomes[i] != b.Outcomes[i] {
			return false
		}
	}
	return true
}

var gravity = map[State]int{NotMet: 1, Held: 2, Harm: 3, Broken: 4}

// worseThan tells whether one result of a cell is worse than another: by its state, then by what is left.
func worseThan(a, b Result) bool {
	if gravity[a.State] != gravity[b.State] {
		return gravity[a.State] > gravity[b.State]
	}
	x, okA := a.Tightest()
	y, okB := b.Tightest()
	return okA && (!okB || x.Share() < y.Share())
}

// tryOnce runs a cell and its twin without the fault. The error is that of the context.
func (p *Plan) tryOnce(ctx context.Context, c Cell, seed uint64) (Result, error) {
	result := Result{ID: c.ID, Seed: seed}
	script, problems := scenarios.Compile(c.scenario, p.Library.Site, seed)
	if len(problems) > 0 {
		return result.because(Broken, problems), nil
	}
	r, err := harness.RunOnce(ctx, p.Build, script)
	if state, why := p.failure(ctx, c, err); state != "" {
		return result.because(state, why), ctx.Err()
	}
	twin := script.Without(theFault(script, c), r.End)
	twin.Outcomes = script.Outcomes
	without, err := harness.RunOnce(ctx, p.Build, twin)
	if err != nil {
		return result.because(Broken, fmt.Errorf("the run without the fault: %w", err)), ctx.Err()
	}
	result.State = NotMet
	if harness.Met(r, without, script.Outcomes) {
		result.State, result.Touched, result.Alerts = Held, harness.Touched(r, without), moreAlerts(r, without)
	}
	for i, v := range r.Verdicts {
		usual := without.Verdicts[i]
		if v.State == outcome.Failed && c.asked(script.Outcomes[i].Text) && p.spaced(r) {
			v.State = outcome.NotExercised
		}
		j := Judgement{Text: script.Outcomes[i].Text, State: v.State, Margin: Figure(v.Margin), Usual: Figure(usual.Margin),
			Allowance: v.Allowance, Dim: v.Dim, At: v.At, Lost: v.State == outcome.Failed && usual.State != outcome.Failed}
		if j.Lost {
			result.State = Harm
			result.Why = v.Why
		}
		result.Outcomes = append(result.Outcomes, j)
	}
	result.Silent = result.State == Held && result.Alerts == nil && c.output != "" && passed(r, c.output) < passed(without, c.output)/2
	return result, nil
}

// spaced tells whether the alert of the cut-off came in time when its contact first operated. When the contact operates again
// soon, the settings may keep the alert back; that is no alert that is late.
func (p *Plan) spaced(r *harness.Run) bool {
	cutOff := p.spec.Controller.Settings.CutOff
	if cutOff == nil {
		return false
	}
	s := harness.AlertSignal("cloud", harness.AlertSpill)
	operated, came := firstOn(r, cutOff.Contact+".operated"), firstOn(r, s.Name())
	return came != signal.Never && came-operated <= signal.FromSeconds(p.Limits.Alert)
}

// firstOn is when a signal first was other than 0 while outcomes were observed.
func firstOn(r *harness.Run, name string) signal.Time {
	id, ok := r.Trace.Find(name)
	if !ok {
		return signal.Never
	}
	c := r.Trace.Column(id)
	for i, at := range c.At {
		if at >= r.Begins && c.Value[i] != 0 {
			return at
		}
	}
	return signal.Never
}

// passed is the water that went through a valve or pump in a run, m³.
func passed(r *harness.Run, output string) float64 {
	id, ok := r.Trace.Find(output + ".flow")
	if !ok {
		return 0
	}
	c, sum := r.Trace.Column(id), 0.0
	for i := 1; i < len(c.At); i++ {
		sum += float64((c.At[i] - c.At[i-1]).Seconds() * (c.Value[i] + c.Value[i-1]) / 2)
	}
	return sum
}

func (r Result) because(s State, err error) Result {
	r.State, r.Why = s, err.Error()
	return r
}

// failure says what an error of a run means for a cell; "" for none.
func (p *Plan) failure(ctx context.Context, c Cell, err error) (State, error) {
	var cannot *harness.CannotError
	switch {
	case err == nil:
		return "", nil
	case errors.As(err, &cannot):
		return Impossible, err
	case c.Beside != nil && ctx.Err() == nil && strings.Contains(err.Error(), "did not happen"):
		return NotReached, err
	}
	return Broken, err
}

// theFault is the act of a script that is the cell's fault.
func theFault(script *harness.Script, c Cell) int {
	at := 0
	for i, a := range script.Acts {
		if a.Fault == c.Fault && a.Target == c.Target {
			at = i // the last: a story may use the same fault to get there
		}
	}
	return at
}

// moreAlerts are the alerts that the cloud got in one run and not in the other, by name.
func moreAlerts(r, without *harness.Run) map[string]int {
	more := map[string]int{}
	for _, name := range harness.AlertNames() {
		s := harness.AlertSignal("cloud", name)
		if n := events(r, s.Name()) - events(without, s.Name()); n > 0 {
			more[name] = n
		}
	}
	if len(more) == 0 {
		return nil
	}
	return more
}

func events(r *harness.Run, signal string) int {
	id, ok := r.Trace.Find(signal)
	if !ok {
		return 0
	}
	return len(r.Trace.Column(id).At)
}
