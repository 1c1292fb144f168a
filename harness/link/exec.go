package link

import (
	"context"
	"errors"
	"time"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Version is the version of the protocol that the package comment describes.
const Version = 1

// Longest is how far a run over this link can go, about 104 days: every moment is then a whole number that a program
// which keeps its numbers as IEEE 754 doubles reads without loss.
const Longest signal.Time = 1 << 53

// Options of a child process.
type Options struct {
	Deadline time.Duration // wall-clock time for one answer; 10 s when 0
}

// Exec starts a program as the controller of a site and greets it. The controller is used by one run, from one
// goroutine, and must be closed, also when it was never opened: the process lives until then. The error says why the
// program could not be started or what was wrong with its greeting; ctx bounds start and greeting and not the life of
// the program.
func Exec(ctx context.Context, command []string, spec sitefile.Controller, terminals []harness.Terminal,
	o Options) (harness.Controller, error) {
	if len(command) == 0 {
		return nil, errors.New("no program is named that could be the controller")
	}
	if o.Deadline <= 0 {
		o.Deadline = 10 * time.Second
	}
	c := &controller{
		terminals:   terminals,
		resetsBelow: spec.ResetsBelow.SI,
		boots:       signal.FromSeconds(spec.Boots.SI),
		power:       -1,
		on:          make([]bool, len(terminals)),
		reversed:    make([]bool, len(terminals)),
		byName:      map[string]int{},
	}
	for i, t := range terminals {
		c.inputs = append(c.inputs, newInput(t, harness.InputOf(spec.Board, t.Kind), i))
		c.byName[t.Name] = i
		if t.Kind == harness.PowerTerminal {
			c.power = i
		}
	}
	if c.power < 0 {
		return nil, errors.New("the controller has no power terminal")
	}
	var err error
	if c.process, err = start(command, o.Deadline); err != nil {
		return nil, err
	}
	hello, err := newHello(spec, terminals)
	if err != nil {
		return nil, c.process.fail(err)
	}
	message, err := c.writer.line(hello)
	if err != nil {
		return nil, c.process.fail(err)
	}
	line, err := c.process.exchange(ctx, message)
	if err != nil {
		return nil, err
	}
	greeting, err := parseGreeting(line)
	if err != nil {
		return nil, c.process.fail(err)
	}
	c.can = greeting.abilities()
	if c.reacts, err = greeting.reacts(); err != nil {
		return nil, c.process.fail(err)
	}
	for i := range c.inputs {
		c.inputs[i].band = max(1, greeting.Band)
	}
	return c, nil
}

// controller is a child process in lock-step. It keeps the board's side of the terminals: input stages, brown-out, the
// drivers of the outputs.
type controller struct {
	process   *process
	can       harness.Abilities
	reacts    sitefile.Reacts
	terminals []harness.Terminal
	byName    map[string]int
	inputs    []input // one for each terminal; unused for outputs
	power     int     // its terminal

	resetsBelow float64 // V
	boots       signal.Time

	now      signal.Time
	powered  bool
	running  bool        // powered, and the boot time has passed
	bootAt   signal.Time // while powered and not running
	booting  bool        // the next exchange is the first since power came
	reset    bool        // the reset knob was turned
	pulled   float64     // to this value
	reversed []bool      // outputs that are on with the other polarity
	on       []bool      // outputs
	got      []harness.Frame
	err      error // why it is over; nil while it is not

	record   signal.Recorder
	commands []signal.ID // of the outputs
	isOn     signal.ID   // signal.Controller.Powered
	alerts   map[string]signal.ID
	number   uint64 // highest number of a publish since boot
	session  session

	writer writer
	out    []harness.Pin
	sent   []harness.Frame
}

// Can says what the program said in its greeting.
func (c *controller) Can() harness.Abilities { return c.can }

// Reacts is what the program said in its greeting.
func (c *controller) Reacts() sitefile.Reacts { return c.reacts }

// Open declares the command of each output, the state of the supply and the event of each alert. The program has been
// greeted and waits without power.
func (c *controller) Open(ctx context.Context, record signal.Recorder, _ *fault.Panel, _ harness.Draw) error {
	if c.err != nil {
		return c.err
	}
	if c.record != nil {
		return errors.New("the controller is opened twice")
	}
	c.record = record
	c.commands = make([]signal.ID, len(c.terminals))
	for i, t := range c.terminals {
		if t.Kind == harness.OutputTerminal {
			c.commands[i] = record.Declare(signal.Output(t.Name).Command())
			c.put(c.commands[i], false)
		}
	}
	c.isOn = record.Declare(signal.Controller.Powered())
	c.put(c.isOn, false)
	c.alerts = map[string]signal.ID{}
	for _, name := range harness.AlertNames() {
		c.alerts[name] = record.Declare(signal.Controller.Alert(name))
	}
	return nil
}

// Knobs is the reset line of the board; what is inside the program nobody can turn. It is part of harness.Turnable.
func (c *controller) Knobs() []harness.ControllerKnob {
	return []harness.ControllerKnob{harness.KnobReset}
}

// Turn pulls the reset line.
func (c *controller) Turn(_ signal.Time, _ harness.ControllerKnob, value float64) error {
	c.reset = c.reset || value > c.pulled
	c.pulled = value
	return nil
}

func (c *controller) put(id signal.ID, on bool) {
	value := 0.0
	if on {
		value = 1
	}
	c.record.Put(signal.Change{At: c.now, ID: id, Value: value})
}

// Close ends the program's input and waits for it. A program that does not end by itself, or ends with another status
// than 0, is an error; it is gone in any case.
func (c *controller) Close() error {
	if errors.Is(c.err, errClosed) {
		return nil
	}
	c.powered, c.running = false, false
	if c.err != nil {
		c.err = errClosed
		return nil
	}
	c.err = errClosed
	return c.process.end()
}

var errClosed = errors.New("the controller is closed")
