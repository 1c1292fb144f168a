package standtest

import (
	"context"
	"errors"
	"fmt"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// response is one thing that a controller did: an output that went on or off, or a frame.
type response struct {
	at    signal.Time
	what  string
	index int // output
	on    bool
}

// drive plays the part of site, network and loop.
type drive struct {
	terminals []harness.Terminal
	c         harness.Controller
	trace     *signal.Trace
	panel     *fault.Panel
	now       signal.Time
	on        []bool
	responses []response
	answers   []harness.Frame // of the network, by time

	early, beyond, foreign error // the first violation of each kind that a call can commit
}

// slicing is how long the controller may run at a time when nothing happens; the n-th call may run this long.
type slicing func(n int) signal.Time

func whole(int) signal.Time { return signal.Never / 2 }

// begin opens a controller.
func begin(open func() (harness.Controller, error)) (*drive, error) {
	c, err := open()
	if err != nil {
		return nil, fmt.Errorf("no controller to judge: %w", err)
	}
	_, terminals := Wiring()
	d := &drive{c: c, trace: signal.NewTrace(), panel: fault.NewPanel(), terminals: terminals,
		on: make([]bool, len(terminals))}
	if err := harness.OpenController(context.Background(), c, d.trace, d.panel,
		harness.NewDraw(1, "standtest")); err != nil {
		return nil, errors.Join(fmt.Errorf("Open: %w", err), c.Close())
	}
	return d, nil
}

// runStory runs a story with a controller of its own and closes it.
func runStory(open func() (harness.Controller, error), cues []cue, slice slicing) (*drive, error) {
	d, err := begin(open)
	if err != nil {
		return nil, err
	}
	err = d.play(cues, storyEnds, slice)
	return d, errors.Join(err, d.c.Close())
}

// play goes through cues until end.
func (d *drive) play(cues []cue, end signal.Time, slice slicing) error {
	var in []harness.Pin
	for n, still := 0, 0; ; n++ {
		for len(cues) > 0 && cues[0].at <= d.now {
			for _, p := range cues[0].pins {
				p.At = d.now
				in = append(in, p)
			}
			if turn := cues[0].turn; turn != nil {
				if err := turn(d); err != nil {
					return fmt.Errorf("at %v: %w", d.now, err)
				}
			}
			cues = cues[1:]
		}
		var got []harness.Frame
		for len(d.answers) > 0 && d.answers[0].At <= d.now {
			got, d.answers = append(got, d.answers[0]), d.answers[1:]
		}
		to := min(end, d.now+slice(n))
		if len(cues) > 0 {
			to = min(to, cues[0].at)
		}
		if len(d.answers) > 0 {
			to = min(to, d.answers[0].At)
		}
		from, did := d.now, len(d.responses)
		if err := d.advance(to, in, got); err != nil {
			return err
		}
		in = in[:0]
		if still++; d.now > from {
			still = 0
		}
		if still > 200 {
			return fmt.Errorf("at %v: the controller gets no further", d.now)
		}
		if d.now >= end && len(d.responses) == did {
			return nil
		}
	}
}

// advance makes one call and checks what every call must keep to.
func (d *drive) advance(to signal.Time, in []harness.Pin, got []harness.Frame) error {
	reached, out, sent, err := d.c.Advance(context.Background(), to, in, got)
	if err != nil {
		return fmt.Errorf("Advance from %v to %v: %w", d.now, to, err)
	}
	if reached < d.now || reached > to {
		d.beyond = first(d.beyond, "it was at %v, was to run until %v, and says that it reached %v", d.now, to, reached)
		reached = max(d.now, min(reached, to))
	}
	if reached < to && len(out)+len(sent) == 0 {
		d.early = first(d.early, "from %v to %v: it stopped at %v although it did nothing", d.now, to, reached)
	}
	d.now = reached
	for _, p := range out {
		if p.At != reached {
			d.early = first(d.early, "it reached %v and brings an output of %v", reached, p.At)
		}
		if p.Terminal < 0 || p.Terminal >= len(d.terminals) || d.terminals[p.Terminal].Kind != harness.OutputTerminal {
			d.foreign = first(d.foreign, "at %v it drives terminal %d, which is no output", reached, p.Terminal)
			continue
		}
		if on := isOn(p); on != d.on[p.Terminal] {
			d.on[p.Terminal] = on
			what := d.terminals[p.Terminal].Name + map[bool]string{true: " on", false: " off"}[on]
			d.responses = append(d.responses, response{at: reached, what: what, index: p.Terminal, on: on})
		}
	}
	for _, f := range sent {
		if f.At != reached {
			d.early = first(d.early, "it reached %v and brings a frame of %v", reached, f.At)
		}
		d.responses = append(d.responses, response{at: reached, what: fmt.Sprintf("%v %s %s", f.Kind, f.Topic, f.Text),
			index: -1})
		d.answer(f)
	}
	return nil
}

// answer is a network on which everything succeeds after a while.
func (d *drive) answer(f harness.Frame) {
	reply := harness.Frame{At: d.now + 2*signal.Second, Kind: harness.Connected}
	if f.Kind == harness.Publish {
		reply = harness.Frame{At: d.now + 80*signal.Millisecond, Kind: harness.Acknowledged, Number: f.Number}
	}
	i := len(d.answers)
	for i > 0 && d.answers[i-1].At > reply.At {
		i--
	}
	d.answers = append(d.answers[:i], append([]harness.Frame{reply}, d.answers[i:]...)...)
}

func isOn(p harness.Pin) bool { return p.Ohms < 1e9 && p.Volts != 0 }

// between lists what outputs did after a moment and before another.
func (d *drive) between(from, to signal.Time) []response {
	var list []response
	for _, response := range d.responses {
		if response.index >= 0 && response.at > from && response.at < to {
			list = append(list, response)
		}
	}
	return list
}

// wasOn is the state of an output after everything up to a moment.
func (d *drive) wasOn(output int, at signal.Time) bool {
	on := false
	for _, response := range d.responses {
		if response.index == output && response.at <= at {
			on = response.on
		}
	}
	return on
}

// differs says where two records part, nil when they are the same.
func differs(a, b []response, how string) error {
	for i := range max(len(a), len(b)) {
		switch {
		case i >= len(a):
			return fmt.Errorf("%s, it does one thing more: %s at %v", how, b[i].what, b[i].at)
		case i >= len(b):
			return fmt.Errorf("%s, it does not do: %s at %v", how, a[i].what, a[i].at)
		case a[i] != b[i]:
			return fmt.Errorf("%s, %s at %v becomes %s at %v", how, a[i].what, a[i].at, b[i].what, b[i].at)
		}
	}
	return nil
}

// first keeps the first violation of its kind.
func first(before error, format string, args ...any) error {
	if before != nil {
		return before
	}
	return fmt.Errorf(format, args...)
}
