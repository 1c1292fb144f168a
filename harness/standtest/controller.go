package standtest

import (
	"context"
	"errors"
	"fmt"

	"ullage/harness"
	"ullage/harness/signal"
)

// rule is one thing that every controller keeps to.
type rule struct {
	name  string
	why   string
	check func(*suite) error
}

var rules = []rule{
	{
		"the controller stops at its first output",
		"the site commits to the moment the controller has reached; what it did before that moment the water would never feel, and a stop for nothing hides that time went on",
		(*suite).stops,
	},
	{
		"the controller stays within its time",
		"site and network are computed up to the moment given and no further; nobody can take back what they did",
		(*suite).within,
	},
	{"the controller drives its own outputs only", "all else of the site belongs to the site", (*suite).ownOutputs},
	{"the controller fills on the low contact and stops on the high one",
		"a controller that does nothing cannot be judged by the other rules", (*suite).fills},
	{"the controller does not react before an input that causes it",
		"an effect before its cause makes every margin meaningless", (*suite).causal},
	{"the same outputs however the time is sliced",
		"where the loop stops depends on faults and observers; these must not change what happens", (*suite).slices},
	{"a pin that does not change its reading changes nothing",
		"the wiring moves a little all the time; only what the input stage reads may count", (*suite).sameReading},
	{"a spill contact shuts what the cut-off names",
		"the independent cut-off is the last barrier before water on the floor", (*suite).cutsOff},
	{"a loss of power opens every output",
		"a spring-return valve shuts without power, and nothing but the supply may hold it open", (*suite).losesPower},
	{"what the controller records has a meaning",
		"outcomes look at signals by the names that package signal gives them", (*suite).records},
	{"a command is recorded as its output is driven",
		"an outcome on a command must not hold while the valve does otherwise", (*suite).commands},
	{"a knob at rest changes nothing", "the twin without a fault would differ by the knob itself",
		(*suite).knobsAtRest},
	{"a knob can be turned and released", "a fault that cannot be injected or taken back proves nothing",
		(*suite).knobsTurn},
	{"a reset opens every output", "nobody is in charge of the outputs until it has booted", (*suite).resets},
	{"the controller stops when its context ends",
		"a run that somebody ends must not go on for hours, with water running", (*suite).ends},
	{"outputs are safe at Open, at Close and after an error", "whatever ends a run, it must not end with water running",
		(*suite).safe},
}

// suite is one judgement: the controllers, and the story that one of them is run through in the plainest way.
type suite struct {
	open  func() (harness.Controller, error)
	plain *drive
	can   harness.Abilities
}

// Controller judges controllers built for Wiring. open makes a fresh one that has not been opened; each is closed
// again. The error joins all violations; nil when there are none. The rule about the cut-off is left out for
// controllers that have none.
func Controller(open func() (harness.Controller, error)) error {
	s := &suite{open: open}
	var err error
	if s.plain, err = runStory(open, story(), whole); err != nil {
		return fmt.Errorf("the suite's story cannot be run: %w", err)
	}
	s.can = s.plain.c.Can()
	var violations []error
	for _, r := range rules {
		if err := r.check(s); err != nil {
			violations = append(violations, fmt.Errorf("%s: %w (%s)", r.name, err, r.why))
		}
	}
	return errors.Join(violations...)
}

func (s *suite) stops() error      { return s.plain.early }
func (s *suite) within() error     { return s.plain.beyond }
func (s *suite) ownOutputs() error { return s.plain.foreign }

func (s *suite) fills() error {
	for _, output := range []int{master, topUp} {
		name := s.plain.terminals[output].Name
		switch {
		case !s.plain.wasOn(output, calls+soon):
			return fmt.Errorf("%s is off %v after the low contact operated", name, soon)
		case s.plain.wasOn(output, full+soon):
			return fmt.Errorf("%s is on %v after the high contact operated", name, soon)
		case !s.plain.wasOn(output, callsMore+soon):
			return fmt.Errorf("%s is off %v after the low contact operated again", name, soon)
		}
	}
	return nil
}

func (s *suite) causal() error {
	for _, d := range s.plain.responses {
		switch {
		case !d.on:
		case d.at < calls:
			return fmt.Errorf("%s at %v, and the low contact operates at %v", d.what, d.at, calls)
		case d.index == drip:
			return fmt.Errorf("%s at %v, and nothing calls for it", d.what, d.at)
		case d.at > full+soon && d.at < callsMore:
			return fmt.Errorf("%s at %v, and the low contact operates at %v", d.what, d.at, callsMore)
		}
	}
	return nil
}

func (s *suite) slices() error {
	const ms = signal.Millisecond
	lengths := []signal.Time{7 * ms, 333 * ms, 1, 0, 0, 41*ms + 1, 10 * ms, 1999 * ms}
	for _, how := range []struct {
		name  string
		slice slicing
	}{
		{"in slices of 100 ms", func(int) signal.Time { return 100 * ms }},
		{"in slices of 1 s", func(int) signal.Time { return signal.Second }},
		{"in slices of uneven length, several at one moment",
			func(n int) signal.Time { return lengths[n%len(lengths)] }},
	} {
		d, err := runStory(s.open, story(), how.slice)
		if err == nil {
			err = differs(s.plain.responses, d.responses, how.name)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *suite) sameReading() error {
	d, err := runStory(s.open, fidgeting(), whole)
	if err != nil {
		return err
	}
	return differs(s.plain.responses, d.responses, "given further pins with the same reading")
}

func (s *suite) cutsOff() error {
	if !s.can[harness.CutOff] {
		return nil
	}
	spec, _ := Wiring()
	atOnce := signal.FromSeconds(harness.ReactsOf(s.plain.c, spec).ActsWithin.SI) + signal.Millisecond
	for _, output := range []int{master, topUp} {
		if s.plain.wasOn(output, spills+atOnce) {
			return fmt.Errorf("%s is on %v after the spill contact operated", s.plain.terminals[output].Name, atOnce)
		}
	}
	for _, d := range s.plain.between(spills+atOnce, drained) {
		if d.on {
			return fmt.Errorf("%s at %v, while the spill contact is operated", d.what, d.at)
		}
	}
	return nil
}

func (s *suite) losesPower() error {
	for _, output := range []int{master, topUp} {
		name := s.plain.terminals[output].Name
		if !s.plain.wasOn(output, dark-1) || !s.plain.wasOn(output, sags) {
			return fmt.Errorf("%s is off before the loss of power, although the low contact calls: nothing to judge",
				name)
		}
	}
	browns := sags + (12-resetsBelow)*signal.Second + signal.Millisecond // 1 ms for the threshold itself
	for output := range s.plain.on {
		name := s.plain.terminals[output].Name
		if s.plain.wasOn(output, dark) {
			return fmt.Errorf("%s is on although the supply has gone at %v", name, dark)
		}
		if s.plain.wasOn(output, browns) {
			return fmt.Errorf("%s is on although the supply is below %d V at %v", name, resetsBelow, browns)
		}
	}
	for _, d := range s.plain.responses {
		if d.index >= 0 && !d.on {
			continue
		}
		if d.at > dark && d.at < light+boots || d.at > browns {
			return fmt.Errorf("%s at %v, without power or before it has booted", d.what, d.at)
		}
	}
	return nil
}

// ends calls a controller with a context that has ended.
func (s *suite) ends() error {
	d, err := begin(s.open)
	if err != nil {
		return err
	}
	err = d.play(story(), calls+soon, whole)
	gone := errors.New("somebody ended the run")
	ctx, cancel := context.WithCancelCause(context.Background())
	cancel(gone)
	_, out, _, refused := d.c.Advance(ctx, d.now+signal.Day, nil, nil)
	if !errors.Is(refused, gone) {
		err = errors.Join(err, fmt.Errorf("the context has ended, and Advance gives %v instead of its cause", refused))
	}
	for _, p := range out {
		if isOn(p) {
			err = errors.Join(err, fmt.Errorf("the context has ended, and it switches terminal %d on", p.Terminal))
		}
	}
	return errors.Join(err, d.c.Close())
}

// safe tries the ends of a controller's life.
func (s *suite) safe() error {
	without, err := begin(s.open)
	if err != nil {
		return err
	}
	unpowered := []cue{{at: 0, pins: []harness.Pin{closed(tankLow), opened(tankHigh), closed(tankSpill)}}}
	err = without.play(unpowered, calls, whole)
	if len(without.responses) > 0 {
		err = errors.Join(err, fmt.Errorf("before it has power: %s at %v", without.responses[0].what,
			without.responses[0].at))
	}
	err = errors.Join(err, without.c.Close())

	for _, end := range []struct {
		name string
		call func(*drive) ([]harness.Pin, error)
	}{
		{"after Close", func(d *drive) ([]harness.Pin, error) { d.c.Close(); return d.try(d.now + signal.Second) }},
		{"asked to go back in time", func(d *drive) ([]harness.Pin, error) { return d.try(d.now - 1) }},
		{"given a terminal it lacks", func(d *drive) ([]harness.Pin, error) { return d.try(d.now, opened(99)) }},
		{"given a terminal below 0", func(d *drive) ([]harness.Pin, error) { return d.try(d.now, opened(-1)) }},
	} {
		d, openErr := begin(s.open)
		if openErr != nil {
			return errors.Join(err, openErr)
		}
		playErr := d.play(story(), calls+soon, whole)
		out, refused := end.call(d)
		if refused == nil {
			err = errors.Join(err, fmt.Errorf("%s, Advance gives no error", end.name))
		}
		for _, p := range out {
			if isOn(p) {
				err = errors.Join(err, fmt.Errorf("%s, it switches terminal %d on", end.name, p.Terminal))
			}
		}
		d.c.Close()
		err = errors.Join(err, playErr)
		if closeErr := d.c.Close(); closeErr != nil {
			err = errors.Join(err, fmt.Errorf("%s, closed twice: %w", end.name, closeErr))
		}
	}
	return err
}

// try makes a call that should be refused.
func (d *drive) try(to signal.Time, in ...harness.Pin) ([]harness.Pin, error) {
	_, out, _, err := d.c.Advance(context.Background(), to, in, nil)
	return out, err
}
