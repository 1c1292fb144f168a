package harness

import (
	"context"
	"fmt"

	"ullage/harness/signal"
)

// OpenLoop proves a run of a controller that cannot be run twice: nothing is run on the stand again. What the
// controller did in the run, its outputs and its messages with their times, is played into the same site and network
// once more without the fault, or, where a script has none, with the outputs cut. The controller of such a twin looks
// at nothing, so its outputs and messages are those of the run whatever was left out; only what site and network show
// can differ, and an outcome on commands and messages is exercised only by an input of a rule. Otherwise outcomes are
// judged as by ClosedLoop.
//
// A fault inside the controller cannot be left out of what it did. It counts as met by every rule, as far as the
// controller says; see FirmwareInput. Settings have no twin and limits of the tolerances are not tried: what the
// controller would have done with them nobody knows.
type OpenLoop struct {
	// Stands makes the twins: its site and network, in virtual time, with the recorded controller.
	Stands *Stands
	// Tolerance is by how much times may differ between run and twin; edges are not counted. A bounce that is over
	// within the tolerance shows nowhere. 0 is 100 ms, by which crossings of a simulated site may move when its steps
	// do.
	Tolerance signal.Time
}

// Prove is part of Proof.
func (o OpenLoop) Prove(ctx context.Context, build Builder, script *Script, watch ...signal.Sink) *Result {
	result := &Result{Script: script}
	stand, err := build(ctx, script)
	if err != nil {
		return result.broken(err)
	}
	did := &recording{}
	stand.recording = did
	stand.Watch(watch...)
	run, err := stand.Run(ctx, script)
	result.Run = run
	if err != nil {
		return result.broken(err)
	}
	result.Verdicts = run.Verdicts
	j := newJudge(run, script, func(from signal.Time) differ { return within(o.tolerance(), from) })
	for _, t := range twins(script, run.End) {
		if t.setting != nil { // with other settings the controller would have done something else
			continue
		}
		twin, err := o.replay(ctx, t.script, did)
		if err != nil {
			return result.broken(fmt.Errorf("the recorded run without %s: %w", t.without, err))
		}
		j.against(t, twin)
	}
	j.conclude(result.Verdicts)
	return result
}

// tolerance is by how much times may differ.
func (o OpenLoop) tolerance() signal.Time {
	if o.Tolerance == 0 {
		return sameMoment
	}
	return o.Tolerance
}

// replay plays what a controller did into the stand of a script.
func (o OpenLoop) replay(ctx context.Context, script *Script, did *recording) (*Run, error) {
	stand, err := o.Stands.replay(ctx, script, &replay{recording: did})
	if err != nil {
		return nil, err
	}
	return stand.Run(ctx, script)
}
