package harness

import (
	"slices"

	"ullage/harness/signal"
)

// inputs lists what met the controller in a run and not in a twin without an act: devices at its input terminals, its
// supply, the network, what happened inside it. An act of the site shows at terminals alone and one of the network in
// what is received alone; what else differs there comes of what the controller did. So does what differs at a terminal
// only after an output has differed, unless it is what the act acted on. What the coils' current lifts or pulls down
// differs in the same moment as the output.
func (j *judge) inputs(twin *Run, act *Act) []string {
	var list []string
	add := func(name string) {
		if !slices.Contains(list, name) {
			list = append(list, name)
		}
	}
	on, coils, did := map[string]bool{}, false, j.firstOutput(twin)
	for _, t := range act.Turns {
		switch t.Device {
		case string(signal.Controller):
			if j.met(t.Knob) {
				add(insideInput(t.Knob))
			}
		case string(signal.WiFi), string(signal.Cloud):
			// message by message: of two commands at one moment each counts
			if signalsDiffer(j.run, twin, []string{signal.Controller.Received().Name()}, closely(0)) {
				add(NetworkInput)
			}
		default:
			on[t.Device] = true
			coils = coils || j.reach.output[t.Device]
		}
	}
	if len(on) == 0 || j.run.Site == nil {
		return list
	}
	for _, s := range j.run.Trace.Signals() {
		if !s.AtTerminal() || j.reach.output[s.Device] || !j.signalsDiffer(twin, 0, s.Name()) {
			continue
		}
		at := j.first(twin, s)
		if on[s.Device] || at < did || at == did && (coils || !j.reach.coupled[s.Device]) {
			add(s.Device)
		}
	}
	for _, c := range j.run.Site.Contacts {
		if at := j.first(twin, levelAt(j.run, c)); at <= did && at != signal.Never && nearer(j.run, twin, c) {
			add(c.Name)
		}
	}
	return list
}

// allInputs lists every input that differs from a twin in which the controller's outputs reach nothing.
func (j *judge) allInputs(twin *Run) []string {
	var list []string
	for _, s := range j.run.Trace.Signals() {
		name := s.Device
		switch {
		case s == signal.Controller.Received():
			name = NetworkInput
		case !s.AtTerminal() || j.reach.output[s.Device]:
			continue
		}
		if !slices.Contains(list, name) && j.signalsDiffer(twin, 0, s.Name()) {
			list = append(list, name)
		}
	}
	return list
}

// firstOutput is when an output of the controller first differs between a run and its twin.
func (j *judge) firstOutput(twin *Run) signal.Time {
	first := signal.Never
	for _, s := range j.run.Trace.Signals() {
		if s.AtTerminal() && j.reach.output[s.Device] {
			first = min(first, j.first(twin, s))
		}
	}
	return first
}

// first is the first moment at which a signal differs.
func (j *judge) first(twin *Run, s signal.Signal) signal.Time {
	x, inRun := j.run.Trace.Find(s.Name())
	y, inTwin := twin.Trace.Find(s.Name())
	if !inRun || !inTwin {
		return 0
	}
	return firstDifference(j.run, twin, x, y, 0)
}

// insideInput is the input that a knob of the controller turns.
func insideInput(knob string) string {
	switch ControllerKnob(knob) {
	case KnobClockStep, KnobClockUnset:
		return ClockInput
	case KnobLongestRun:
		return LongestRunInput
	}
	return FirmwareInput
}

// met reports whether the controller meets what a knob of it was turned to. A counter is met when it wraps within a
// limit and the controller says so, or by a controller that never says such things; all else is always met.
func (j *judge) met(knob string) bool {
	internal, says := j.run.Trace.Find(signal.Controller.InternalFault().Name())
	return knob != string(KnobCounter) || !says || j.run.Trace.View(internal).After(j.run.Begins).Len() > 0
}
