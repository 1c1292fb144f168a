package link

import (
	"context"
	"errors"
	"fmt"
	"math"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Advance is described at harness.Controller. After an error every output is open, and every further call is an error.
func (c *controller) Advance(ctx context.Context, to signal.Time, in []harness.Pin, got []harness.Frame) (signal.Time,
	[]harness.Pin, []harness.Frame, error) {
	c.out, c.sent = c.out[:0], c.sent[:0]
	if c.err == nil && c.record == nil {
		return c.now, nil, nil, errors.New("the controller is not open")
	}
	if c.err == nil {
		if err := c.advance(ctx, to, in, got); err != nil {
			c.err = c.process.fail(err)
		}
	}
	if c.err != nil {
		c.sent = c.sent[:0]
		c.shut()
	}
	return c.now, c.out, c.sent, c.err
}

func (c *controller) advance(ctx context.Context, to signal.Time, in []harness.Pin, got []harness.Frame) error {
	if to < c.now {
		return fmt.Errorf("it is asked to run until %v, but it is at %v already", to, c.now)
	}
	if err := c.take(in); err != nil {
		return err
	}
	c.supply()
	for _, f := range got {
		if c.running && c.session.takes(f.Kind) { // nobody hears anything without power or while it boots
			c.got = append(c.got, f)
		}
	}
	for ; len(c.out)+len(c.sent) == 0 && c.now < to; c.supply() {
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		if c.now >= Longest {
			return fmt.Errorf("a run over this link ends at %v", Longest)
		}
		until := min(to, c.quietUntil(to), Longest)
		if !c.running {
			c.now = until
			continue
		}
		if err := c.exchange(ctx, until); err != nil {
			return err
		}
	}
	return nil
}

// take notes the pins that have changed. A supply that has changed is passed on to the outputs that are on.
func (c *controller) take(pins []harness.Pin) error {
	for _, p := range pins {
		if p.Terminal < 0 || p.Terminal >= len(c.inputs) || c.terminals[p.Terminal].Kind == harness.OutputTerminal {
			return fmt.Errorf("terminal %d is no input of this controller", p.Terminal)
		}
		if math.IsNaN(p.VoltsAt(c.now)) || math.IsInf(p.VoltsAt(c.now), 0) {
			return fmt.Errorf("the site gives %q no voltage at %v", c.terminals[p.Terminal].Name, c.now)
		}
		c.inputs[p.Terminal].set(p, c.now)
		if p.Terminal == c.power && c.isPowered(c.now) {
			for i, on := range c.on {
				if on {
					c.out = append(c.out, c.driver(i))
				}
			}
		}
	}
	return nil
}

// supply follows the supply and the reset line: a brown-out or a reset opens every output at once; the program boots
// when it is over.
func (c *controller) supply() {
	on, was := c.isPowered(c.now), c.powered
	if c.powered && (!on || c.reset) {
		c.powered, c.running = false, false
		c.got = c.got[:0]
		c.shut()
	}
	c.reset = false
	if on && !c.powered {
		c.powered, c.bootAt = true, c.now+c.boots
	}
	if c.powered != was {
		c.put(c.isOn, c.powered)
	}
	if c.powered && !c.running && c.now >= c.bootAt {
		c.running, c.booting, c.number, c.session = true, true, 0, idle
		for i := range c.inputs {
			c.inputs[i].boot(c.now)
		}
	}
}

func (c *controller) isPowered(at signal.Time) bool {
	p := c.inputs[c.power].pin
	return p.Ohms < disconnected && p.VoltsAt(at) >= c.resetsBelow
}

// quietUntil brings the readings to now and finds the first moment after it, and not after to, at which a reading or
// the supply changes by itself.
func (c *controller) quietUntil(to signal.Time) signal.Time {
	if c.powered && !c.running {
		to = min(to, c.bootAt)
	}
	for i := range c.inputs {
		in := &c.inputs[i]
		switch {
		case in.pin.Slope == 0:
		case i == c.power:
			on := c.isPowered(c.now)
			to = first(c.now, to, func(at signal.Time) bool { return c.isPowered(at) != on })
		case c.running:
			in.read(c.now)
			to = first(c.now, to, in.differs)
		}
	}
	return to
}

// shut opens every output that is on, whatever else was to be done with the outputs at this moment.
func (c *controller) shut() {
	c.out = c.out[:0]
	for i, on := range c.on {
		if on {
			c.turn(i, false, false)
		}
	}
}

// turn switches an output, with the polarity reversed or not. What the program holds a valve to be that opens by one
// polarity and shuts by the other is what it was driven to last, whether or not it is still under current.
func (c *controller) turn(terminal int, on, reverse bool) {
	c.on[terminal], c.reversed[terminal] = on, reverse
	c.out = append(c.out, c.driver(terminal))
	switch c.terminals[terminal].Drive {
	case sitefile.Latching, sitefile.Motorised:
		if on {
			c.put(c.commands[terminal], !reverse)
		}
	default:
		c.put(c.commands[terminal], on)
	}
}

// driver is the pin of an output: the supply when it is on, open when it is not.
func (c *controller) driver(terminal int) harness.Pin {
	if !c.on[terminal] {
		return harness.Open(c.now, terminal)
	}
	p := c.inputs[c.power].pin
	pin := harness.Pin{At: c.now, Terminal: terminal, Volts: p.VoltsAt(c.now), Slope: p.Slope, Ohms: p.Ohms}
	if c.reversed[terminal] {
		pin.Volts, pin.Slope = -pin.Volts, -pin.Slope
	}
	return pin
}

// exchange lets the program run until a moment and takes its answer.
func (c *controller) exchange(ctx context.Context, until signal.Time) error {
	message, err := c.writer.line(c.news(until))
	if err != nil {
		return err
	}
	line, err := c.process.exchange(ctx, message)
	if err != nil {
		return err
	}
	c.booting, c.got = false, c.got[:0]
	did, err := parseAnswer(line)
	if err != nil {
		return err
	}
	switch at := *did.At; {
	case at < c.now:
		return fmt.Errorf("it went back in time: it was at %d ns and answers that it reached %d ns", c.now, at)
	case at > until:
		return fmt.Errorf("it was to run until %d ns at the most and answers that it reached %d ns", until, at)
	}
	for _, o := range did.Out {
		if i, ok := c.byName[o.Terminal]; !ok || c.terminals[i].Kind != harness.OutputTerminal {
			return fmt.Errorf("it names an output %q; the outputs are %s", o.Terminal, c.outputs())
		}
	}
	from := c.now
	c.now = *did.At // nothing is recorded at a moment that an error could take back
	if err := c.do(did); err != nil {
		return err
	}
	if c.now == from && len(c.out)+len(c.sent) == 0 {
		return fmt.Errorf(
			"it stands still: it may run from %d ns until %d ns, and answers that it reached %d ns and did nothing",
			from,
			until,
			*did.At,
		)
	}
	return nil
}

// news is the message that says what has changed and lets the program run until a moment.
func (c *controller) news(until signal.Time) *runMessage {
	m := &runMessage{Do: "run", From: c.now, To: until, Boot: c.booting}
	for i := range c.inputs {
		if in := &c.inputs[i]; in.news && in.kind != harness.OutputTerminal {
			in.news = false
			m.In = append(m.In, in.message(c.terminals[i].Name, c.now))
		}
	}
	for _, f := range c.got {
		m.Got = append(m.Got, newFrame(f))
	}
	return m
}

// do takes what the program did: outputs that changed and frames it sent.
func (c *controller) do(did *answer) error {
	for _, o := range did.Out {
		if i := c.byName[o.Terminal]; c.on[i] != *o.On || *o.On && c.reversed[i] != o.Reverse {
			c.turn(i, *o.On, o.Reverse)
		}
	}
	for _, s := range did.Send {
		f, err := s.frame(c.now)
		if err != nil {
			return err
		}
		c.sent = append(c.sent, f)
		if f.Kind == harness.Connect {
			c.session = asked
		}
		if f.Kind == harness.Publish && f.Topic == harness.TopicAlert && f.Number > c.number {
			c.put(c.alerts[f.Text], true)
		}
		c.number = max(c.number, f.Number)
	}
	return nil
}

func (c *controller) outputs() string {
	var names []string
	for _, t := range c.terminals {
		if t.Kind == harness.OutputTerminal {
			names = append(names, t.Name)
		}
	}
	return quoted(names)
}
