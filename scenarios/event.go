package scenarios

import (
	"slices"
	"strings"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
)

// Event is something that a deadline or the beginning of a fault may be tied to.
type Event struct {
	Clause  string // "as <clause>, ..." and "<duration> after <clause>, ..."
	Of      string // "within <duration> of <of>"
	Meaning string

	clause, of *pattern
	happens    func(*compiler, args) outcome.Event
}

// Timings lists the ways to say when a fault or stimulus happens, for the "<when>" of a phrase.
func Timings() []string {
	return names(language().timings, func(t timing) string { return t.pattern.shows })
}

// Text is the event as it is printed: as a clause, and as what a deadline counts from.
func (e Event) Text() (clause, of string) { return e.clause.shows, e.of.shows }

// Events lists every event.
func Events() []Event { return slices.Clone(language().events) }

// declaredEvents are the events that the phrases know.
var declaredEvents = []Event{
	{Clause: `{contact} operates`, Of: `{contact} operating`, Meaning: "the float of the contact passes the level at which it operates",
		happens: on(signal.Contact.Operated)},
	{Clause: `{contact} releases`, Of: `{contact} releasing`, Meaning: "the float of the contact passes the level at which it releases",
		happens: off(signal.Contact.Operated)},
	{Clause: `the valve {valve} opens`, Of: `the valve {valve} opening`, Meaning: "the disc of the valve leaves its seat",
		happens: on(signal.Valve.Open)},
	{Clause: `the valve {valve} closes`, Of: `the valve {valve} closing`, Meaning: "the disc of the valve is seated",
		happens: off(signal.Valve.Open)},
	{Clause: `the valve {valve} begins to open`, Of: `the valve {valve} beginning to open`, Meaning: "the coil of the valve pulls in",
		happens: on(signal.Valve.Coil)},
	{Clause: `the valve {valve} begins to close`, Of: `the valve {valve} beginning to close`, Meaning: "the coil of the valve drops out",
		happens: off(signal.Valve.Coil)},
	{Clause: `the pump {pump} starts`, Of: `the pump {pump} starting`, Meaning: "the contactor of the pump pulls in",
		happens: on(signal.Pump.Running)},
	{Clause: `the pump {pump} stops`, Of: `the pump {pump} stopping`, Meaning: "the contactor of the pump drops out",
		happens: off(signal.Pump.Running)},
	{Clause: `the pump {pump} runs dry`, Of: `the pump {pump} running dry`, Meaning: "the pump runs and has no water in it",
		happens: on(signal.Pump.Dry)},
	{Clause: `a fill begins`, Of: `a fill beginning`, Meaning: "the output that fills the tank opens or starts",
		happens: func(c *compiler, _ args) outcome.Event { return c.fillBegins() }},
	{Clause: `the level in {tank} rises to {length}`, Of: `the level in {tank} rising to {length}`,
		Meaning: "the level comes up to so much above the floor of the tank",
		happens: reaches(signal.Tank.Level, outcome.AtLeast)},
	{Clause: `the level in {tank} falls to {length}`, Of: `the level in {tank} falling to {length}`,
		Meaning: "the level comes down to so much above the floor of the tank",
		happens: reaches(signal.Tank.Level, outcome.AtMost)},
	{Clause: `the soil of {bed} dries to {share} water`, Of: `the soil of {bed} drying to {share} water`,
		Meaning: "the water content of the root zone, by volume, comes down to so much",
		happens: reaches(signal.Bed.Moisture, outcome.AtMost)},
	{Clause: `the alert {alert} arrives`, Of: `the alert {alert} arriving`, Meaning: "the cloud receives the alert",
		happens: func(c *compiler, a args) outcome.Event { return c.alertArrives(a.text(0)) }},
	{Clause: `the access point answers again`, Of: `the access point answering again`, Meaning: "the access point is back",
		happens: func(*compiler, args) outcome.Event { return turnsOn(signal.WiFi.Up()) }},
	{Clause: `the cloud answers again`, Of: `the cloud answering again`, Meaning: "the internet is back, or the broker takes connections again",
		happens: func(*compiler, args) outcome.Event { return turnsOff(signal.Cloud.Away()) }},
	{Clause: `the power returns`, Of: `the power returning`, Meaning: "the voltage at the power terminal is back above the reset level",
		happens: func(c *compiler, _ args) outcome.Event {
			limit := 0.0
			if c.site != nil {
				limit = c.site.Controller.ResetsBelow.SI
			}
			return outcome.Event{Condition: is(signal.Power.Voltage(), outcome.AtLeast, limit)}
		}},
}

// on and off are the events of a state of the first placeholder's device. The rules that bring it about are needed.
func on[Device ~string](state func(Device) signal.Signal) func(*compiler, args) outcome.Event {
	return func(c *compiler, a args) outcome.Event { return turnsOn(stateOf(c, a, state)) }
}

func off[Device ~string](state func(Device) signal.Signal) func(*compiler, args) outcome.Event {
	return func(c *compiler, a args) outcome.Event { return turnsOff(stateOf(c, a, state)) }
}

func stateOf[Device ~string](c *compiler, a args, state func(Device) signal.Signal) signal.Signal {
	c.needContact(a.text(0))
	c.needOutput(a.text(0))
	return state(Device(a.text(0)))
}

// reaches is the event that a quantity of the first placeholder's device reaches the second.
func reaches[Device ~string](of func(Device) signal.Signal, side outcome.Comparison) func(*compiler, args) outcome.Event {
	return func(_ *compiler, a args) outcome.Event {
		return outcome.Event{Condition: is(of(Device(a.text(0))), side, a.si(1))}
	}
}

// fillBegins is the event that the output which fills the tank of the site is on.
func (c *compiler) fillBegins() outcome.Event {
	c.need(harness.FillRule)
	if c.site == nil {
		return outcome.Event{}
	}
	fill := c.site.Controller.Settings.Fill
	if fill == nil {
		c.fail("the site has no fill rule, so that no fill can begin")
		return outcome.Event{}
	}
	return turnsOn(runSignal(c.site, fill.Valve))
}

// runSignal is the state that says that an output lets water run.
func runSignal(site *sitefile.Site, output string) signal.Signal {
	if site != nil {
		for _, p := range site.Pumps {
			if p.Name == output {
				return signal.Pump(output).Running()
			}
		}
	}
	return signal.Valve(output).Open()
}

// alertArrives is the event that an alert is at the cloud.
func (c *compiler) alertArrives(name string) outcome.Event {
	c.need(append([]harness.Ability{harness.Alerts}, alertNeeds[name]...)...)
	return turnsOn(signal.Cloud.Alert(name))
}

// timing is a way to say when a fault or stimulus happens.
type timing struct {
	text    string
	tie     func(c *compiler, a args) args
	pattern *pattern
}

// declaredTimings are the ways to say it.
var declaredTimings = []timing{
	{text: `as {event}`, tie: func(_ *compiler, a args) args { return a }},
	{text: `{duration} after {event}`, tie: func(_ *compiler, a args) args {
		a.after = a.span(0)
		return a
	}},
	{text: `{duration} into the fill`, tie: func(c *compiler, a args) args {
		e := c.fillBegins()
		return args{event: &e, after: a.span(0)}
	}},
	{text: `{duration} into the run of {zone}`, tie: func(c *compiler, a args) args {
		c.needZone(a.text(1))
		e := turnsOn(runSignal(c.site, a.text(1)))
		return args{event: &e, after: a.span(0)}
	}},
}

// readTiming reads the words in front of a timed phrase.
func readTiming(c *compiler, text string, a *args) {
	if text = readManner(c, text, a); text == "" {
		return
	}
	for _, t := range c.language.timings {
		if read, ok := t.pattern.read(c, text); ok {
			read = t.tie(c, read)
			a.event, a.after = read.event, read.after
			return
		}
	}
	known := names(c.language.timings, func(t timing) string { return t.pattern.shows })
	c.problem(spelling.Quote(text), "one of: "+strings.Join(known, "; "))
}

// readEvent reads an event in a clause.
func readEvent(c *compiler, text string, a *args) {
	c.findEvent(text, a, func(e Event) *pattern { return e.clause })
}

// readOf reads the event that a deadline counts from.
func readOf(c *compiler, text string, a *args) {
	if text != "" {
		c.findEvent(text, a, func(e Event) *pattern { return e.of })
	}
}

func (c *compiler) findEvent(text string, a *args, form func(Event) *pattern) {
	for _, e := range c.language.events {
		if read, ok := form(e).read(c, text); ok {
			event := e.happens(c, read)
			a.event = &event
			return
		}
	}
	c.problem(spelling.Quote(text), "an event; the nearest is: "+nearest(text, names(c.language.events, form)).shows)
	a.event = &outcome.Event{}
}
