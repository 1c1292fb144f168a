package harness

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Result is what a scenario came to: its run and the verdict on every outcome.
type Result struct {
	Script   *Script
	Run      *Run              // nil when nothing was run
	Verdicts []outcome.Verdict // one for each outcome of the script
	Err      error             // why the run was not made or broke off; nil otherwise
}

// Worst is the state that decides about a scenario: could not be made, not run, not valid, failed, not recorded, not
// exercised, held, in this order.
func (r *Result) Worst() outcome.State {
	order := []outcome.State{outcome.Broken, outcome.NotRun, outcome.NotValid, outcome.Failed, outcome.NotRecorded, outcome.NotExercised}
	for _, state := range order {
		for _, v := range r.Verdicts {
			if v.State == state {
				return state
			}
		}
	}
	if len(r.Verdicts) == 0 {
		return outcome.Broken
	}
	return outcome.Held
}

// Prove runs a script and its twins and judges every outcome. For each fault and each stimulus there is a twin without it;
// a script with neither has one whose controller is muted. A held outcome for which a twin shows the same at every
// terminal, in what the network tells the controller and what meets it from within, and at every signal that it looks at was
// not exercised: what was left out there did not matter. What held is then tried once more at each corner of the site's
// tolerances. The sinks watch the run itself and neither twins nor corners. Errors end up in the Result: a scenario always has one.
func Prove(ctx context.Context, build Builder, script *Script, watch ...signal.Sink) *Result {
	result := &Result{Script: script}
	run, err := RunOnce(ctx, build, script, watch...)
	result.Run = run
	if err != nil {
		return result.broken(err)
	}
	result.Verdicts = run.Verdicts
	for _, t := range twins(script, run.End) {
		twin, err := RunOnce(ctx, build, t.script)
		if err != nil {
			return result.broken(fmt.Errorf("the run without %s: %w", t.without, err))
		}
		result.compare(twin, t.without)
	}
	result.corners(ctx, build)
	return result
}

// twin is a script in which something was left out.
type twin struct {
	script  *Script
	without string // what was left out, in words
}

func twins(script *Script, end signal.Time) []twin {
	var list []twin
	for i, a := range script.Acts {
		if len(a.Turns) > 0 {
			list = append(list, twin{script.Without(i, end), fmt.Sprintf("%q", a.Text)})
		}
	}
	if list == nil {
		list = append(list, twin{script.Muted(end), "what the controller did"})
	}
	return list
}

// compare says of every outcome that held whether the twin shows the same.
func (r *Result) compare(twin *Run, without string) {
	if met(r.Run, twin) {
		return
	}
	for i := range r.Verdicts {
		v := &r.Verdicts[i]
		if v.State == outcome.Held && !signalsDiffer(r.Run, twin, r.Script.Outcomes[i].Property.Signals()) {
			v.State = outcome.NotExercised
			v.Why = "nothing would have been otherwise without " + without +
				": every terminal, the network and every signal that this looks at show the same"
		}
	}
}

// met tells whether the controller met anything else in one run than in another, or did anything else.
func met(a, b *Run) bool {
	names := []string{signal.Controller.Received().Name(), signal.Controller.Disturbed().Name()}
	for _, s := range a.Trace.Signals() {
		if s.AtTerminal() {
			names = append(names, s.Name())
		}
	}
	return signalsDiffer(a, b, names)
}

// corners tries what held again at the corners of the site's tolerances. An outcome that is lost at one of them is thin:
// it held by less than what the site may differ from its drawing.
func (r *Result) corners(ctx context.Context, build Builder) {
	held := func(v outcome.Verdict) bool { return v.State == outcome.Held }
	if !slices.ContainsFunc(r.Verdicts, held) {
		return
	}
	for _, corner := range r.Script.Corners {
		run, err := RunOnce(ctx, build, r.Script.At(corner))
		for i := range r.Verdicts {
			v := &r.Verdicts[i]
			switch {
			case v.Thin != "" || !held(*v):
			case err != nil:
				v.Thin = fmt.Sprintf("with %s the run could not be made: %v", corner.Text, err)
			case run.Verdicts[i].State == outcome.Failed:
				v.Thin = fmt.Sprintf("with %s it is lost: %s", corner.Text, run.Verdicts[i].Why)
			}
		}
	}
}

// RunOnce runs a script without its twins and without the corners of tolerances. The sinks watch it.
func RunOnce(ctx context.Context, build Builder, script *Script, watch ...signal.Sink) (*Run, error) {
	stand, err := build(ctx, script)
	if err != nil {
		return nil, err
	}
	stand.Watch(watch...)
	return stand.Run(ctx, script)
}

// broken gives every outcome the same verdict: not run when the stand cannot, could not be made when something broke.
func (r *Result) broken(err error) *Result {
	state := outcome.Broken
	var cannot *CannotError
	if errors.As(err, &cannot) {
		state = outcome.NotRun
	}
	r.Err = err
	r.Verdicts = nil
	for range r.Script.Outcomes {
		r.Verdicts = append(r.Verdicts, outcome.Verdict{State: state, Why: err.Error()})
	}
	return r
}

// Touched lists the devices at which two runs of one script differ while outcomes were observed, in the order in which
// their signals were declared: of a run and its twin without a fault, what the fault reached. The marks of the script are
// left out.
func Touched(run, twin *Run) []string {
	var devices []string
	for _, s := range run.Trace.Signals() {
		if !slices.Contains(devices, s.Device) && signalsDiffer(run, twin, []string{s.Name()}) {
			devices = append(devices, s.Device)
		}
	}
	return devices
}

// Met tells whether the controller met anything else in a run than in its twin without a fault, at a terminal or from the
// network, or did anything else.
func Met(run, twin *Run) bool { return met(run, twin) }

// signalsDiffer tells whether one of the signals differs between two runs while outcomes were observed.
func signalsDiffer(a, b *Run, names []string) bool {
	for _, name := range names {
		if _, mark := signal.Script.CutMark(name); mark {
			continue
		}
		x, inA := a.Trace.Find(name)
		y, inB := b.Trace.Find(name)
		if inA != inB || inA && columnsDiffer(a, b, x, y) {
			return true
		}
	}
	return false
}

// sameMoment is the span within which two runs' changes count as one: a simulated site that had to begin a step elsewhere
// may reach a level so much sooner or later.
const sameMoment = 100 * signal.Millisecond

// same is the share of what a linear signal reaches by which it may differ between two runs of the same course: flows and
// pressures are kept straighter than they are while a valve strokes, levels, volumes and moisture are exact.
func same(dim quantity.Dimension) float64 {
	if dim == quantity.Flow || dim == quantity.Pressure {
		return 1e-2
	}
	return 1e-4
}

// columnsDiffer compares two records from the beginning of the observation on. Held signals and events differ when there
// is another change, or one at another moment; linear ones when they are further apart than the same course can be.
func columnsDiffer(a, b *Run, x, y signal.ID) bool {
	p, q := a.Trace.Column(x), b.Trace.Column(y)
	if a.Trace.Signals()[x].Shape != signal.Linear {
		if a.Trace.Signals()[x].Shape == signal.Held && a.Trace.At(x, a.Begins) != b.Trace.At(y, a.Begins) && len(p.At)+len(q.At) > 0 {
			return true
		}
		p, q = after(p, a.Begins), after(q, a.Begins)
		if len(p.At) != len(q.At) {
			return true
		}
		for i := range p.At {
			if apart := p.At[i] - q.At[i]; apart > sameMoment || apart < -sameMoment || p.Value[i] != q.Value[i] {
				return true
			}
		}
		return false
	}
	reach := 0.0
	for _, v := range p.Value {
		reach = math.Max(reach, math.Abs(v))
	}
	for _, column := range []signal.Column{after(p, a.Begins), after(q, a.Begins)} {
		for _, at := range column.At {
			if d := a.Trace.At(x, at) - b.Trace.At(y, at); !(math.Abs(d) <= same(a.Trace.Signals()[x].Dim)*reach) { // also when only one was recorded
				return true
			}
		}
	}
	return false
}

// after is the part of a record that comes after a moment.
func after(c signal.Column, at signal.Time) signal.Column {
	i := 0
	for i < len(c.At) && c.At[i] <= at {
		i++
	}
	return signal.Column{At: c.At[i:], Value: c.Value[i:]}
}
