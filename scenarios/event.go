package scenarios

import (
	"slices"
	"strings"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/sitefile"
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
		happens: on("operated")},
	{Clause: `{contact} releases`, Of: `{contact} releasing`, Meaning: "the float of the contact passes the level at which it releases",
		happens: off("operated")},
	{Clause: `the valve {valve} opens`, Of: `the valve {valve} opening`, Meaning: "the disc of the valve leaves its seat",
		happens: on("open")},
	{Clause: `the valve {valve} closes`, Of: `the valve {valve} closing`, Meaning: "the disc of the valve is seated",
		happens: off("open")},
	{Clause: `the valve {valve} begins to open`, Of: `the valve {valve} beginning to open`, Meaning: "the coil of the valve pulls in",
		happens: on("coil")},
	{Clause: `the valve {valve} begins to close`, Of: `the valve {valve} beginning to close`, Meaning: "the coil of the valve drops out",
		happens: off("coil")},
	{Clause: `the pump {pump} starts`, Of: `the pump {pump} starting`, Meaning: "the contactor of the pump pulls in",
		happens: on("running")},
	{Clause: `the pump {pump} stops`, Of: `the pump {pump} stopping`, Meaning: "the contactor of the pump drops out",
		happens: off("running")},
	{Clause: `the pump {pump} runs dry`, Of: `the pump {pump} running dry`, Meaning: "the pump runs and has no water in it",
		happens: on("dry")},
	{Clause: `a fill begins`, Of: `a fill beginning`, Meaning: "the output that fills the tank opens or starts",
		happens: func(c *compiler, _ args) outcome.Event { return c.fillBegins() }},
	{Clause: `the level in {tank} rises to {length}`, Of: `the level in {tank} rising to {length}`,
		Meaning: "the level comes up to so much above the floor of the tank",
		happens: reaches("level", outcome.AtLeast)},
	{Clause: `the level in {tank} falls to {length}`, Of: `the level in {tank} falling to {length}`,
		Meaning: "the level comes down to so much above the floor of the tank",
		happens: reaches("level", outcome.AtMost)},
	{Clause: `the soil of {bed} dries to {share} water`, Of: `the soil of {bed} drying to {share} water`,
		Meaning: "the water content of the root zone, by volume, comes down to so much",
		happens: reaches("moisture", outcome.AtMost)},
	{Clause: `the alert {alert} arrives`, Of: `the alert {alert} arriving`, Meaning: "the cloud receives the alert",
		happens: func(c *compiler, a args) outcome.Event { return c.alertArrives(a.text(0)) }},
	{Clause: `the access point answers again`, Of: `the access point answering again`, Meaning: "the access point is back",
		happens: func(*compiler, args) outcome.Event { return turnsOn("wifi.up") }},
	{Clause: `the cloud answers again`, Of: `the cloud answering again`, Meaning: "the internet is back, or the broker takes connections again",
		happens: func(*compiler, args) outcome.Event {
			return outcome.Event{Condition: outcome.Condition{Signal: "cloud.away", Is: outcome.Off}}
		}},
	{Clause: `the power returns`, Of: `the power returning`, Meaning: "the voltage at the power terminal is back above the reset level",
		happens: func(c *compiler, _ args) outcome.Event {
			limit := 0.0
			if c.site != nil {
				limit = c.site.Controller.ResetsBelow.SI
			}
			return outcome.Event{Condition: outcome.Condition{Signal: harness.PowerName + "." + harness.TerminalQuantity, Is: outcome.AtLeast, Limit: limit}}
		}},
}

func turnsOn(signal string) outcome.Event {
	return outcome.Event{Condition: outcome.Condition{Signal: signal, Is: outcome.On}}
}

// on and off are the events of a state of the first placeholder's device. The rules that bring it about are needed.
func on(quantity string) func(*compiler, args) outcome.Event {
	return func(c *compiler, a args) outcome.Event {
		c.needContact(a.text(0))
		c.needOutput(a.text(0))
		return turnsOn(a.text(0) + "." + quantity)
	}
}

func off(quantity string) func(*compiler, args) outcome.Event {
	return func(c *compiler, a args) outcome.Event {
		c.needContact(a.text(0))
		c.needOutput(a.text(0))
		return outcome.Event{Condition: outcome.Condition{Signal: a.text(0) + "." + quantity, Is: outcome.Off}}
	}
}

func reaches(quantity string, is outcome.Comparison) func(*compiler, args) outcome.Event {
	return func(_ *compiler, a args) outcome.Event {
		return outcome.Event{Condition: outcome.Condition{Signal: a.text(0) + "." + quantity, Is: is, Limit: a.si(1)}}
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
func runSignal(site *sitefile.Site, output string) string {
	if site != nil {
		for _, p := range site.Pumps {
			if p.Name == output {
				return output + ".running"
			}
		}
	}
	return output + ".open"
}

// alertArrives is the event that an alert is at the cloud.
func (c *compiler) alertArrives(name string) outcome.Event {
	c.need(append([]harness.Ability{harness.Alerts}, alertNeeds[name]...)...)
	s := harness.AlertSignal("cloud", name)
	return turnsOn(s.Name())
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
	c.problem(quote(text), "one of: "+strings.Join(known, "; "))
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
	c.problem(quote(text), "an event; the nearest is: "+nearest(text, names(c.language.events, form)).shows)
	a.event = &outcome.Event{}
}
