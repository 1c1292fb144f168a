package controller

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// wiring puts a controller together from its settings and gathers all that is wrong with them.
type wiring struct {
	c        *Controller
	debounce signal.Time // of contacts
	errs     []error
}

func (w *wiring) refuse(err error) {
	if err != nil {
		w.errs = append(w.errs, err)
	}
}

func (w *wiring) refusef(format string, a ...any) {
	w.refuse(fmt.Errorf("controller: "+format, a...))
}

// board sets up the terminals and their input stages, and says whether there are terminals to work with.
func (w *wiring) board(spec sitefile.Controller, terminals []harness.Terminal) bool {
	c := w.c
	if n := len(terminals); n != len(spec.Terminals)+1 || terminals[n-1].Kind != harness.PowerTerminal {
		w.refusef("%d terminals given, want the %d of the site file and the power terminal after them",
			len(terminals), len(spec.Terminals))
		return false
	}
	b := spec.Board
	if !(b.Rail.SI > 0 && b.Bits > 0 && b.Bits < 31 && b.Low.SI <= b.High.SI) {
		w.refusef("board: want a rail above 0 V, 1 to 30 bits and low not above high; got %g V, %d bits, %g V and %g V",
			b.Rail.SI, b.Bits, b.Low.SI, b.High.SI)
	}
	c.digital = harness.InputOf(b, harness.ContactTerminal)
	c.analogue = harness.InputOf(b, harness.AnalogueTerminal)
	for i, t := range terminals {
		if slices.ContainsFunc(terminals[:i], func(other harness.Terminal) bool { return other.Name == t.Name }) {
			w.refusef("%q is on two terminals", t.Name)
		}
		c.pins = append(c.pins, harness.Open(0, i))
		switch t.Kind {
		case harness.OutputTerminal:
			c.outputs = append(c.outputs, output{terminal: i, device: t.Name, drive: t.Drive})
		case harness.ContactTerminal, harness.PulseTerminal:
			in := &contact{c: c, terminal: i, device: t.Name, normal: t.Normal, kind: t.Kind, crosses: signal.Never}
			c.contacts = append(c.contacts, in)
			c.rules = append(c.rules, in)
		case harness.AnalogueTerminal:
			c.probes = append(c.probes, probe{terminal: i, device: t.Name})
		}
	}
	c.power = power{c: c, terminal: len(terminals) - 1, resetsBelow: spec.ResetsBelow.SI, boots: span(spec.Boots),
		changes: signal.Never}
	w.outputDrivers(spec.Drivers)
	return true
}

// settings sets up the rules in the order of cause.
func (w *wiring) settings(s sitefile.Settings) {
	c := w.c
	clock, err := newClock(s.Clock)
	w.refuse(err)
	c.clock = clock
	w.debounce = w.filtered(defaultDebounce)
	if s.Fill != nil {
		w.debounce = w.filtered(span(s.Fill.Debounce))
	}
	for _, in := range c.contacts {
		in.filter.on, in.filter.off = w.debounce, w.debounce
	}
	c.alerts = newAlerts(c, s.Alerts)
	if s.Alerts.Kept < 0 {
		w.refusef("alerts: kept is %d, want 0 at least", s.Alerts.Kept)
	}
	c.network = newNetwork(c, max(0, s.Alerts.Kept))
	if s.Fill != nil {
		w.fill(*s.Fill)
	}
	if s.Moisture != nil {
		w.moisture(*s.Moisture)
	}
	for _, p := range s.Programmes {
		w.programme(p)
	}
	if s.Remote != nil {
		w.remote(*s.Remote)
	}
	if s.CutOff != nil {
		w.cutOff(*s.CutOff)
	}
	if s.Interlock != nil {
		w.interlock(*s.Interlock)
	}
	if s.FlowAlarms != nil {
		w.flowAlarms(*s.FlowAlarms)
	}
	if s.ReportEvery.SI > 0 {
		c.rules = append(c.rules, &reports{c: c, every: span(s.ReportEvery)})
	}
	c.rules = append(c.rules, &c.network)
}

// call is the wish of one rule for its outputs. It names the rule in messages.
func (w *wiring) call(rule, output string, with []string) *call {
	k := &call{c: w.c, outputs: w.outputs(rule, append([]string{output}, with...))}
	w.c.calls = append(w.c.calls, k)
	return k
}

func (w *wiring) ban(rule string, outputs []string) *ban {
	b := &ban{c: w.c, outputs: w.outputs(rule, outputs)}
	w.c.bans = append(w.c.bans, b)
	return b
}

func (w *wiring) outputs(rule string, names []string) []int {
	var list []int
	for _, name := range names {
		if i := w.c.output(name); i >= 0 {
			list = append(list, i)
		} else {
			w.refusef("%s: no output terminal has %q on it", rule, name)
		}
	}
	return list
}

// contact finds the contact (or, for a meter, the pulse input) of a rule. It is never nil.
func (w *wiring) contact(rule, name string, kind harness.TerminalKind) *contact {
	for _, in := range w.c.contacts {
		if in.device == name && in.kind == kind {
			return in
		}
	}
	w.refusef("%s: no %s terminal has %q on it", rule, kind, name)
	return &contact{}
}

// probe finds the terminal of a probe.
func (w *wiring) probe(rule, name string) int {
	for _, p := range w.c.probes {
		if p.device == name {
			return p.terminal
		}
	}
	w.refusef("%s: no analogue terminal has %q on it", rule, name)
	return 0
}

// filtered is how long a change of a contact must last; not at all when debouncing is taken out.
func (w *wiring) filtered(t signal.Time) signal.Time {
	if w.c.has(noDebounce) {
		return 0
	}
	return t
}

// positive refuses a duration that has to be above 0.
func (w *wiring) positive(rule, setting string, d quantity.DurationValue) signal.Time {
	if !(d.SI > 0) {
		w.refusef("%s: %s is %g s, want more than 0 s", rule, setting, d.SI)
	}
	return span(d)
}

// span is a duration of the settings in nanoseconds.
func span(d quantity.DurationValue) signal.Time {
	return signal.Time(math.Round(d.SI * 1e9))
}

// Option changes the controller that New builds.
type Option func(*Controller) error

// Polling makes the controller look at its terminals at multiples of every only, as firmware with a main loop does. It
// is a sound variant: power is still watched by hardware.
func Polling(every signal.Time) Option {
	return func(c *Controller) error {
		if every <= 0 {
			return errors.New("controller: polling wants a time above 0")
		}
		c.poll = every
		return nil
	}
}
