package standtest

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// small is a controller that does just what the suite's story asks for. bug breaks one thing in it.
type small struct {
	bug     string
	stage   harness.Input
	pins    [power + 1]harness.Pin
	now     signal.Time
	poll    signal.Time // next look at the inputs
	bootAt  signal.Time
	powered bool
	booted  bool
	closed  bool
	low     bool // since when, and whether the low contact operates
	since   signal.Time
	calls   int // Advance calls since low operated
	filling bool
	on      [power]bool
	late    []harness.Pin
	out     []harness.Pin
	sent    []harness.Frame
	reset   bool // the line has been pulled

	record   signal.Recorder
	commands [power]signal.ID
}

func newSmall(bug string) *small {
	spec, _ := Wiring()
	c := &small{bug: bug, stage: harness.InputOf(spec.Board, harness.ContactTerminal)}
	for i := range c.pins {
		c.pins[i] = harness.Open(0, i)
	}
	return c
}

func (c *small) Can() harness.Abilities {
	return harness.Abilities{harness.FillRule: true, harness.CutOff: true}
}

func (c *small) Open(_ context.Context, record signal.Recorder, _ *fault.Panel, _ harness.Draw) error {
	if c.bug == "does not open" {
		return errors.New("no such port")
	}
	c.record = record
	for i, name := range []string{"master", "top-up", "drip"} {
		c.commands[i] = record.Declare(signal.Output(name).Command())
		record.Put(signal.Change{ID: c.commands[i]})
	}
	if c.bug == "records what it likes" {
		record.Declare(signal.Signal{Device: "controller", Quantity: "mood"})
	}
	return nil
}

func (c *small) Knobs() []harness.ControllerKnob {
	return []harness.ControllerKnob{harness.KnobReset, harness.KnobWatchdog}
}

func (c *small) Turn(_ signal.Time, knob harness.ControllerKnob, value float64) error {
	switch {
	case knob == harness.KnobWatchdog && c.bug == "moved by a knob at rest":
		c.reset = true
	case knob == harness.KnobWatchdog && c.bug == "refuses a knob":
		if value == 0 {
			return errors.New("it is soldered in")
		}
	case knob == harness.KnobReset && value > 0 && c.bug != "deaf to its reset":
		c.reset = true
	}
	return nil
}

func (c *small) Close() error {
	if c.bug == "closes once" && c.closed {
		return errors.New("closed already")
	}
	c.closed = true
	return nil
}

func (c *small) closedContact(terminal int) bool {
	return !c.stage.IsHigh(c.pins[terminal], c.now, true)
}

func (c *small) Advance(ctx context.Context, to signal.Time, in []harness.Pin, _ []harness.Frame) (signal.Time,
	[]harness.Pin, []harness.Frame, error) {
	c.out, c.sent = c.out[:0], c.sent[:0]
	if c.closed && c.bug != "lives on after Close" {
		return c.now, nil, nil, errors.New("closed")
	}
	if to < c.now && c.bug != "goes back when asked" {
		return c.now, c.ending(), nil, errors.New("back in time")
	}
	for _, p := range in {
		if p.Terminal < 0 || p.Terminal > power {
			if c.bug == "takes any terminal" {
				continue
			}
			return c.now, c.ending(), nil, errors.New("no such terminal")
		}
		if c.bug == "moved by pins" && c.booted && p.Terminal == tankLow {
			c.low = false
		}
		c.pins[p.Terminal] = p
	}
	c.calls++
	for {
		if ctx.Err() != nil && c.bug != "goes on for ever" {
			return c.now, nil, nil, context.Cause(ctx)
		}
		c.power()
		if c.booted && c.poll <= c.now && c.now < to {
			c.look()
			c.poll = c.now + 50*signal.Millisecond
		}
		if c.bug == "reports late" {
			c.late, c.out = append(c.late, c.out...), c.out[:0]
		}
		if len(c.out)+len(c.sent) > 0 || c.now >= to {
			break
		}
		c.now = min(to, c.next())
		if c.bug == "stops for nothing" && c.now%signal.Second == 0 {
			break
		}
	}
	if c.bug == "reports late" {
		c.out, c.late = c.late, nil
	}
	if c.bug == "runs too far" && c.now == full {
		return to + 1, c.out, c.sent, nil
	}
	return c.now, c.out, c.sent, nil
}

// ending is what comes with an error.
func (c *small) ending() []harness.Pin {
	if c.bug == "on with an error" {
		return []harness.Pin{{At: c.now, Terminal: topUp, Volts: 12}}
	}
	return nil
}

// next is when power or poll are due.
func (c *small) next() signal.Time {
	next := signal.Never
	if c.booted {
		next = max(c.now+1, c.poll)
	} else if c.powered {
		next = max(c.now+1, c.bootAt)
	}
	if p := c.pins[power]; p.Slope < 0 {
		if falls := p.At + signal.FromSeconds((p.Volts-resetsBelow)/-p.Slope) + 1; falls > c.now {
			next = min(next, falls)
		}
	}
	return next
}

func (c *small) power() {
	p := c.pins[power]
	good := p.Ohms < 1e9 && p.VoltsAt(c.now) >= resetsBelow
	switch {
	case c.bug == "works without power" && c.now > 0:
		good = true
	case c.bug == "on at Open":
		good = true
	case c.bug == "blind to a sagging supply":
		good = p.Ohms < 1e9 && p.Volts >= resetsBelow
	}
	if good && !c.powered {
		c.bootAt = c.now + boots
		if c.bug == "boots at once" {
			c.bootAt = c.now
		}
	}
	if c.reset {
		c.reset, c.bootAt, c.powered = false, c.now+boots, good
		c.booted, c.filling, c.low = false, false, false
		c.turn(false)
	}
	if !good {
		c.booted, c.filling, c.low = false, false, false
		c.turn(c.filling)
	}
	c.powered = good
	if good && !c.booted && c.now >= c.bootAt {
		c.booted, c.poll = true, c.now
	}
}

// look is one pass of the control loop.
func (c *small) look() {
	if low := c.closedContact(tankLow); low != c.low {
		c.low, c.since, c.calls = low, c.now, 0
	}
	lasts := c.now-c.since >= 250*signal.Millisecond
	if c.bug == "counts calls" {
		lasts = c.calls >= 2
	}
	switch {
	case c.closedContact(tankHigh):
		c.filling = false
	case c.low && lasts:
		c.filling = true
	}
	want := c.filling
	if !c.closedContact(tankSpill) && c.bug != "ignores the spill" {
		want = false
	}
	switch c.bug {
	case "does nothing":
		want = false
	case "waters at boot":
		want = want || c.now < 4*signal.Second
	case "drives an input":
		if want && !c.on[topUp] {
			c.out = append(c.out, harness.Pin{At: c.now, Terminal: tankLow, Volts: 12})
		}
	case "drives what nobody asked for":
		if want != c.on[topUp] {
			c.out = append(c.out, c.pin(drip, want))
		}
	case "on at Open":
		want = true
	}
	c.turn(want)
}

func (c *small) turn(on bool) {
	for _, output := range []int{master, topUp} {
		if c.on[output] != on {
			c.on[output] = on
			if c.bug != "forgets to record" || on {
				c.record.Put(signal.Change{At: c.now, ID: c.commands[output], Value: map[bool]float64{true: 1}[on]})
			}
			c.out = append(c.out, c.pin(output, on))
		}
	}
}

func (c *small) pin(output int, on bool) harness.Pin {
	if !on {
		return harness.Open(c.now, output)
	}
	return harness.Pin{At: c.now, Terminal: output, Volts: 12, Ohms: 0.1}
}

func judge(bug string) error {
	return Controller(func() (harness.Controller, error) { return newSmall(bug), nil })
}

func TestSoundControllerPasses(t *testing.T) {
	require.NoError(t, judge(""))
}

// Each rule is broken by a controller made for it, and found.
func TestBrokenControllersAreFound(t *testing.T) {
	found := map[string]bool{}
	for bug, rule := range map[string]string{
		"reports late":                 "the controller stops at its first output",
		"stops for nothing":            "the controller stops at its first output",
		"runs too far":                 "the controller stays within its time",
		"drives an input":              "the controller drives its own outputs only",
		"does nothing":                 "the controller fills on the low contact and stops on the high one",
		"waters at boot":               "the controller does not react before an input that causes it",
		"drives what nobody asked for": "the controller does not react before an input that causes it",
		"counts calls":                 "the same outputs however the time is sliced",
		"moved by pins":                "a pin that does not change its reading changes nothing",
		"ignores the spill":            "a spill contact shuts what the cut-off names",
		"works without power":          "a loss of power opens every output",
		"blind to a sagging supply":    "a loss of power opens every output",
		"boots at once":                "a loss of power opens every output",
		"records what it likes":        "what the controller records has a meaning",
		"forgets to record":            "a command is recorded as its output is driven",
		"moved by a knob at rest":      "a knob at rest changes nothing",
		"refuses a knob":               "a knob can be turned and released",
		"deaf to its reset":            "a reset opens every output",
		"goes on for ever":             "the controller stops when its context ends",
		"on at Open":                   "outputs are safe at Open, at Close and after an error",
		"on with an error":             "outputs are safe at Open, at Close and after an error",
		"lives on after Close":         "outputs are safe at Open, at Close and after an error",
		"goes back when asked":         "outputs are safe at Open, at Close and after an error",
		"takes any terminal":           "outputs are safe at Open, at Close and after an error",
		"closes once":                  "outputs are safe at Open, at Close and after an error",
	} {
		t.Run(bug, func(t *testing.T) {
			err := judge(bug)
			require.Error(t, err)
			assert.True(t, strings.Contains("\n"+err.Error(), "\n"+rule+": "), "the suite does not find it: %v", err)
		})
		found[rule] = true
	}
	for _, r := range rules {
		assert.True(t, found[r.name], "no broken controller shows that %q can be violated", r.name)
		assert.NotEmpty(t, r.why)
	}
}

func TestControllerThatCannotBeJudged(t *testing.T) {
	err := Controller(func() (harness.Controller, error) { return nil, errors.New("no cable") })
	assert.ErrorContains(t, err, "no controller to judge: no cable")
	assert.ErrorContains(t, judge("does not open"), "Open: no such port")
}
