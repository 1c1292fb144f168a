package harness

import (
	"context"
	"fmt"
	"reflect"
	"slices"

	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// Proof is how a run is proven: how it is found out whether an outcome that held was exercised at all, by comparison
// with twins of the run in which something was left out.
type Proof interface {
	// Prove runs a script on a stand of the builder and judges every outcome. The sinks watch the run itself and no
	// other. Errors end up in the Result: a scenario always has one.
	Prove(ctx context.Context, build Builder, script *Script, watch ...signal.Sink) *Result
}

// ClosedLoop proves a run by twins in which everything runs again, the controller too. For each fault and each stimulus
// there is a twin without it, and for each setting that the script changes one with the setting of the site file; a
// script with neither fault nor stimulus has one whose controller is muted.
//
// A held outcome was exercised when, against a twin, a signal that it looks at differs, or when what met the controller
// is an input of a rule that decides what the outcome looks at; see Rules. Where a script has faults, one of them must
// exercise it. Every fault, stimulus and setting must show somewhere: at an input of the controller, or at what an
// outcome looks at. What held is then tried once more at each limit of the site's tolerances.
type ClosedLoop struct{}

// Prove is part of Proof.
func (ClosedLoop) Prove(ctx context.Context, build Builder, script *Script, watch ...signal.Sink) *Result {
	result := &Result{Script: script}
	run, err := RunOnce(ctx, build, script, watch...)
	result.Run = run
	if err != nil {
		return result.broken(err)
	}
	result.Verdicts = run.Verdicts
	j := newJudge(run, script, closely)
	for _, t := range twins(script, run.End) {
		twin, err := RunOnce(ctx, build, t.script)
		if err != nil {
			return result.broken(fmt.Errorf("the run without %s: %w", t.without, err))
		}
		if t.setting == nil || !reflect.DeepEqual(run.Site, twin.Site) { // else it only says what the site file does
			j.against(t, twin)
		}
	}
	j.conclude(result.Verdicts)
	result.corners(ctx, build)
	return result
}

// corners tries what held again at the limits of the site's tolerances. An outcome that fails at one of them is
// marginal: it held by less than what the site may differ from its drawing.
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
			case v.Marginal != "" || !held(*v):
			case err != nil:
				v.Marginal = fmt.Sprintf("with %s the run could not be made: %v", corner.Text, err)
			case run.Verdicts[i].State == outcome.Failed:
				v.Marginal = fmt.Sprintf("with %s it fails: %s", corner.Text, run.Verdicts[i].Why)
			}
		}
	}
}
