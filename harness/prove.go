package harness

import (
	"context"
	"errors"

	"ullage/harness/outcome"
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
	order := []outcome.State{outcome.Broken, outcome.NotRun, outcome.NotValid, outcome.Failed, outcome.NotRecorded,
		outcome.NotExercised}
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

// RunOnce runs a script without its twins and without the limits of tolerances. The sinks watch it.
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
