package sweep

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime/debug"
	"slices"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// try runs a trial with as many seeds and returns the result with the smallest margin. Where a second seed gives the
// same margins to the bit, nothing is drawn that matters and no third is tried.
func (p *Plan) try(ctx context.Context, c Trial, seeds int) (Result, error) {
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

var gravity = map[State]int{NoEffect: 1, Safe: 2, Unsafe: 3, NotRun: 4}

// worseThan reports whether one result of a trial is worse than another: by its state, then by what is left.
func worseThan(a, b Result) bool {
	if gravity[a.State] != gravity[b.State] {
		return gravity[a.State] > gravity[b.State]
	}
	x, okA := a.Tightest()
	y, okB := b.Tightest()
	return okA && (!okB || x.Share() < y.Share())
}

// tryOnce runs a trial and its twin without the fault. The error is that of the context. A panic breaks the trial and
// not the sweep.
func (p *Plan) tryOnce(ctx context.Context, c Trial, seed uint64) (result Result, err error) {
	result = Result{ID: c.ID, Seed: seed}
	defer func() {
		if x := recover(); x != nil {
			result = Result{ID: c.ID, Seed: seed}.because(NotRun,
				fmt.Errorf("a defect of this program: %v\n%s", x, debug.Stack()))
		}
	}()
	job := p.job(c.scenario, seed)
	script, _ := job.Script()
	run := p.Runner.Run(ctx, job)
	if state, why := p.failure(ctx, c, run.Err); state != "" {
		return result.because(state, why), context.Cause(ctx)
	}
	r := run.Run
	if c.Beside != nil { // what it is compared with has been run: the one alone, and the other all along
		result.State = Safe
		for i, v := range r.Verdicts {
			p.forgive(r, c, script.Outcomes[i].Text, &v)
			j := judged(script.Outcomes[i].Text, v, v)
			j.Usual = Figure(math.Inf(1)) // until Plan.more knows better
			result.Outcomes = append(result.Outcomes, j)
		}
		return result, nil
	}
	twin := p.twins.find(c.twin(seed),
		func() *harness.Result { return p.Runner.Run(ctx, job.LeaveOut(theFault(script, c))) })
	if twin.Err != nil {
		return result.because(NotRun, fmt.Errorf("the run without the fault: %w", twin.Err)), context.Cause(ctx)
	}
	without := twin.Run
	verdicts := slices.Clone(r.Verdicts)
	effect := harness.Exercise(r, without, script, theFault(script, c), verdicts)
	for i, v := range verdicts {
		usual := without.Verdicts[i]
		if v.Short != "" { // nothing moved it: it costs nothing
			usual = v
		}
		p.forgive(r, c, script.Outcomes[i].Text, &v)
		j := judged(script.Outcomes[i].Text, v, usual)
		if j.Lost && result.Why == "" {
			result.State, result.Why = Unsafe, v.Why
		}
		result.Outcomes = append(result.Outcomes, j)
	}
	switch {
	case !effect:
		result.State = NoEffect
		return result, nil
	case result.State != Unsafe:
		result.State = Safe
	}
	result.Touched, result.Alerts = harness.Touched(r, without), moreAlerts(r, without)
	result.Silent = result.State == Safe && result.Alerts == nil && c.output != "" &&
		passed(r, c.output) < passed(without, c.output)/2
	return result, nil
}

// judged is the verdict on an outcome beside that without the fault.
func judged(text string, v, usual outcome.Verdict) Judgement {
	return Judgement{Text: text, State: v.State, Margin: figure(v), Usual: figure(usual),
		Allowance: v.Allowance,
		Dim:       v.Dim, At: v.At, Lost: v.State == outcome.Failed && usual.State != outcome.Failed}
}

// forgive takes back the verdict on an alert that came in time when it was first due.
func (p *Plan) forgive(r *harness.Run, c Trial, text string, v *outcome.Verdict) {
	if v.State == outcome.Failed && c.asked(text) && p.spaced(r) {
		v.State = outcome.NotExercised
	}
}

// spaced reports whether the alert of the cut-off came in time when its contact first operated. When the contact
// operates again soon, the settings may keep the alert back; that is no alert that is late.
func (p *Plan) spaced(r *harness.Run) bool {
	cutOff := p.spec.Controller.Settings.CutOff
	if cutOff == nil {
		return false
	}
	operated := firstOn(r, signal.Contact(cutOff.Contact).Operated())
	came := firstOn(r, signal.Cloud.Alert(harness.AlertSpill))
	return came != signal.Never && came-operated <= signal.FromSeconds(p.Limits.Alert)
}

// firstOn is when a signal first was other than 0 while outcomes were observed.
func firstOn(r *harness.Run, s signal.Signal) signal.Time {
	id, ok := r.Trace.Find(s.Name())
	if !ok {
		return signal.Never
	}
	for at, value := range r.Trace.View(id).All() {
		if at >= r.Begins && value != 0 {
			return at
		}
	}
	return signal.Never
}

// passed is the water that went through a valve or pump in a run, m³.
func passed(r *harness.Run, output string) float64 {
	id, ok := r.Trace.Find(signal.Part(output).Flow().Name())
	if !ok {
		return 0
	}
	v, sum := r.Trace.View(id), 0.0
	for i := 1; i < v.Len(); i++ {
		sum += float64((v.Time(i) - v.Time(i-1)).Seconds() * (v.Value(i) + v.Value(i-1)) / 2)
	}
	return sum
}

func (r Result) because(s State, err error) Result {
	r.State, r.Why = s, err.Error()
	return r
}

// failure says what an error of a run means for a trial; "" for none.
func (p *Plan) failure(ctx context.Context, c Trial, err error) (State, error) {
	var cannot *harness.CannotError
	var inVain *harness.DidNotHappenError
	switch {
	case err == nil:
		return "", nil
	case errors.As(err, &cannot):
		return NotApplicable, err
	case c.Beside != nil && ctx.Err() == nil && errors.As(err, &inVain):
		return Inconclusive, err
	}
	return NotRun, err
}

// theFault is the act of a script that is the trial's fault.
func theFault(script *harness.Script, c Trial) int {
	at := 0
	for i, a := range script.Acts {
		if a.Fault == c.Fault && a.Target == c.Target {
			at = i // the last: a sequence may use the same fault to get there
		}
	}
	return at
}

// moreAlerts are the alerts that the cloud got in one run and not in the other, by name.
func moreAlerts(r, without *harness.Run) map[string]int {
	more := map[string]int{}
	for _, name := range harness.AlertNames() {
		arrives := signal.Cloud.Alert(name)
		if n := events(r, arrives) - events(without, arrives); n > 0 {
			more[name] = n
		}
	}
	if len(more) == 0 {
		return nil
	}
	return more
}

func events(r *harness.Run, s signal.Signal) int {
	id, ok := r.Trace.Find(s.Name())
	if !ok {
		return 0
	}
	return r.Trace.View(id).Len()
}
