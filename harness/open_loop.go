package harness

import (
	"context"
	"fmt"
	"slices"

	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// OpenLoop proves a run of a controller that cannot be run twice: nothing is run on the stand again. What the
// controller did in the run, its outputs and its messages with their times, is played into the same site and network
// once more without the fault, or, where a script has none, with the outputs cut. The controller of such a twin looks
// at nothing, so its outputs and messages are those of the run whatever was left out; only what site and network show
// can differ. Hence
//
//   - an outcome on what the site or the network shows is exercised when that differs from the twin;
//   - it is exercised too, and an outcome on commands and messages only so, when what differs is an input of a rule, by the
//     settings, that decides what the outcome looks at; see Rules.
//
// Every act must show somewhere, and every outcome be exercised by one of them.
//
// A fault inside the controller cannot be left out of what it did. It counts as met by every rule, as far as the
// controller says; see FirmwareInput. Limits of the tolerances are not tried: what the controller would have done
// there nobody knows.
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
	judge := o.judge(run, stand.Spec, did)
	exercised := make([]bool, len(script.Outcomes))
	for _, t := range twins(script, run.End) {
		twin, err := o.replay(ctx, t.script, did)
		if err != nil {
			return result.broken(fmt.Errorf("the recorded run without %s: %w", t.without, err))
		}
		judge.against(twin, t.act)
		result.exercise(t.without, func(i int) bool {
			own := judge.own(twin, script.Outcomes[i])
			exercised[i] = exercised[i] || own || judge.byRule(script.Outcomes[i])
			return own || len(judge.inputs) > 0
		})
	}
	result.exercise("anything that was left out", func(i int) bool { return exercised[i] })
	return result
}

// replay plays what a controller did into the stand of a script.
func (o OpenLoop) replay(ctx context.Context, script *Script, did *recording) (*Run, error) {
	stand, err := o.Stands.replay(ctx, script, &replay{recording: did})
	if err != nil {
		return nil, err
	}
	return stand.Run(ctx, script)
}

// judge compares a run with its open-loop twins.
type judge struct {
	run       *Run
	did       *recording
	rules     []Rule
	joined    func(a, b string) bool
	tolerance signal.Time
	inputs    []string // of the controller that differ from the present twin
}

func (o OpenLoop) judge(run *Run, site *sitefile.Site, did *recording) *judge {
	j := &judge{run: run, did: did, tolerance: o.Tolerance}
	if j.tolerance == 0 {
		j.tolerance = sameMoment
	}
	if site != nil {
		j.rules, j.joined = Rules(site), joined(site)
	}
	return j
}

// against finds the inputs that differ from a twin without an act. What a rule met before the observation can matter in
// it.
func (j *judge) against(twin *Run, act *Act) {
	j.inputs = changedInputs(j.run, twin, within(j.tolerance, 0))
	if act != nil && firmware(j.run, act, j.did) {
		j.inputs = append(j.inputs, FirmwareInput)
	}
}

// own reports whether a signal that an outcome looks at differs from the twin.
func (j *judge) own(twin *Run, o outcome.Outcome) bool {
	return signalsDiffer(j.run, twin, o.Property.Signals(), within(j.tolerance, j.run.Begins))
}

// byRule reports whether an input that differs is one of a rule that decides what an outcome looks at.
func (j *judge) byRule(o outcome.Outcome) bool {
	for _, name := range o.Property.Signals() {
		id, _ := j.run.Trace.Find(name)
		s := j.run.Trace.Signals()[id]
		if slices.ContainsFunc(j.rules, func(r Rule) bool {
			return meet(r.Inputs, j.inputs) &&
				r.decides(s, j.joined)
		}) {
			return true
		}
	}
	return false
}

// meet reports whether two lists have a name in common.
func meet(a, b []string) bool {
	return slices.ContainsFunc(a, func(name string) bool { return slices.Contains(b, name) })
}

// changedInputs lists the inputs of the controller at which a run and its twin differ: terminals, by their device, and
// the network. At its outputs they cannot differ.
func changedInputs(run, twin *Run, differs differ) []string {
	var list []string
	for _, s := range run.Trace.Signals() {
		name := s.Device
		switch {
		case s == signal.Controller.Received():
			name = NetworkInput
		case !s.AtTerminal():
			continue
		}
		if !slices.Contains(list, name) && signalsDiffer(run, twin, []string{s.Name()}, differs) {
			list = append(list, name)
		}
	}
	return list
}

// firmware reports whether an act turned something inside the controller that the controller met. A counter is met when
// it wraps within a limit and the controller says so, or by a controller that never says such things; all else is
// always met.
func firmware(run *Run, act *Act, did *recording) bool {
	internal, says := run.Trace.Find(signal.Controller.InternalFault().Name())
	for _, t := range act.Turns {
		inside := slices.ContainsFunc(did.knobs, func(k fault.Knob) bool {
			return k.Device == t.Device &&
				k.Name == t.Knob
		})
		if inside && (t.Knob != string(KnobCounter) || !says || run.Trace.View(internal).After(run.Begins).Len() > 0) {
			return true
		}
	}
	return false
}
