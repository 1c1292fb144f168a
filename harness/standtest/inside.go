package standtest

import (
	"errors"
	"fmt"
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
)

// records looks at what the controller has declared.
func (s *suite) records() error {
	known := harness.ControllerSignals(s.plain.terminals)
	for _, of := range s.plain.trace.Signals() {
		if !slices.Contains(known, of) {
			return fmt.Errorf("it declares %s (%v), which is none of harness.ControllerSignals", of.Name(), of.Shape)
		}
	}
	return nil
}

// commands compares the recorded commands with the outputs. One that is not recorded is allowed.
func (s *suite) commands() error {
	for output, t := range s.plain.terminals {
		id, ok := s.plain.trace.Find(signal.Output(t.Name).Command().Name())
		if !ok || t.Kind != harness.OutputTerminal {
			continue
		}
		moments := []signal.Time{0}
		moments = append(moments, s.plain.trace.Column(id).At...)
		for _, r := range s.plain.responses {
			moments = append(moments, r.at)
		}
		for _, at := range moments {
			if command := s.plain.trace.At(id, at); (command != 0) != s.plain.wasOn(output, at) {
				return fmt.Errorf("at %v the command of %s is recorded as %g, and its output is on: %v",
					at, t.Name, command, s.plain.wasOn(output, at))
			}
		}
	}
	return nil
}

// turning is the story with a knob turned to values one after the other, a while into the first fill.
func turning(knob string, values ...float64) []cue {
	cues := story()
	for n, value := range values {
		at := calls + soon + signal.Time(n+1)*signal.Second
		turn := func(d *drive) error {
			if err := d.panel.Open(d.now, string(signal.Controller), knob, value); err != nil {
				return err
			}
			if n > 0 {
				return d.panel.Close(d.now, string(signal.Controller), knob, values[n-1])
			}
			return nil
		}
		i := slices.IndexFunc(cues, func(c cue) bool { return c.at > at })
		cues = slices.Insert(cues, i, cue{at: at, turn: turn})
	}
	return cues
}

func (s *suite) knobsAtRest() error {
	for _, k := range s.plain.panel.Knobs() {
		d, err := runStory(s.open, turning(k.Name, k.Rest, k.Rest), whole)
		if err == nil {
			err = differs(s.plain.responses, d.responses, fmt.Sprintf("with the knob %q turned to where it rests",
				k.Name))
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *suite) knobsTurn() error {
	for _, k := range s.plain.panel.Knobs() {
		for _, value := range []float64{k.Min, k.Max} {
			d, err := runStory(s.open, turning(k.Name, value, k.Rest), whole)
			if err == nil {
				err = errors.Join(d.early, d.beyond, d.foreign)
			}
			if err != nil {
				return fmt.Errorf("with the knob %q turned to %g and released: %w", k.Name, value, err)
			}
		}
	}
	return nil
}

func (s *suite) resets() error {
	knob := string(harness.KnobReset)
	if _, err := s.plain.panel.Find(string(signal.Controller), knob); err != nil {
		return nil // it has no reset line
	}
	d, err := runStory(s.open, turning(knob, 1, 0), whole)
	if err != nil {
		return err
	}
	at := calls + soon + signal.Second
	for output, t := range d.terminals {
		if t.Kind == harness.OutputTerminal && d.wasOn(output, at) {
			return fmt.Errorf("%s is on at %v, when its reset line is pulled", t.Name, at)
		}
	}
	return nil
}
