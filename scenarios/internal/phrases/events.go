package phrases

import (
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/scenarios/internal/language"
)

// declaredEvents are the events that the phrases know.
func declaredEvents() []language.Event {
	return []language.Event{
		{Clause: `{contact} operates`, Of: `{contact} operating`,
			Meaning: "the float of the contact passes the level at which it operates",
			Happens: on(signal.Contact.Operated)},
		{Clause: `{contact} releases`, Of: `{contact} releasing`,
			Meaning: "the float of the contact passes the level at which it releases",
			Happens: off(signal.Contact.Operated)},
		{Clause: `the valve {valve} opens`, Of: `the valve {valve} opening`,
			Meaning: "the disc of the valve leaves its seat",
			Happens: on(signal.Valve.Open)},
		{Clause: `the valve {valve} closes`, Of: `the valve {valve} closing`,
			Meaning: "the disc of the valve is seated",
			Happens: off(signal.Valve.Open)},
		{Clause: `the valve {valve} begins to open`, Of: `the valve {valve} beginning to open`,
			Meaning: "the coil of the valve pulls in",
			Happens: on(signal.Valve.Coil)},
		{Clause: `the valve {valve} begins to close`, Of: `the valve {valve} beginning to close`,
			Meaning: "the coil of the valve drops out",
			Happens: off(signal.Valve.Coil)},
		{Clause: `the pump {pump} starts`, Of: `the pump {pump} starting`,
			Meaning: "the contactor of the pump pulls in",
			Happens: on(signal.Pump.Running)},
		{Clause: `the pump {pump} stops`, Of: `the pump {pump} stopping`,
			Meaning: "the contactor of the pump drops out",
			Happens: off(signal.Pump.Running)},
		{Clause: `the pump {pump} runs dry`, Of: `the pump {pump} running dry`,
			Meaning: "the pump runs and has no water in it",
			Happens: on(signal.Pump.Dry)},
		{Clause: `a fill begins`, Of: `a fill beginning`, Meaning: "the output that fills the tank opens or starts",
			Happens: func(c *language.Compiler, _ language.Args) outcome.Event { return fillBegins(c) }},
		{Clause: `the level in {tank} rises to {length}`, Of: `the level in {tank} rising to {length}`,
			Meaning: "the level comes up to so much above the floor of the tank",
			Happens: reaches(signal.Tank.Level, outcome.AtLeast)},
		{Clause: `the level in {tank} falls to {length}`, Of: `the level in {tank} falling to {length}`,
			Meaning: "the level comes down to so much above the floor of the tank",
			Happens: reaches(signal.Tank.Level, outcome.AtMost)},
		{Clause: `the soil of {bed} dries to {share} water`, Of: `the soil of {bed} drying to {share} water`,
			Meaning: "the water content of the root zone, by volume, comes down to so much",
			Happens: reaches(signal.Bed.Moisture, outcome.AtMost)},
		{Clause: `the alert {alert} arrives`, Of: `the alert {alert} arriving`, Meaning: "the cloud receives the alert",
			Happens: func(c *language.Compiler, a language.Args) outcome.Event { return alertArrives(c, a.Text(0)) }},
		{Clause: `the access point answers again`, Of: `the access point answering again`,
			Meaning: "the access point is back",
			Happens: func(*language.Compiler, language.Args) outcome.Event { return turnsOn(signal.WiFi.Up()) }},
		{Clause: `the cloud answers again`, Of: `the cloud answering again`,
			Meaning: "the internet is back, or the broker takes connections again",
			Happens: func(*language.Compiler, language.Args) outcome.Event { return turnsOff(signal.Cloud.Away()) }},
		{Clause: `the power returns`, Of: `the power returning`,
			Meaning: "the voltage at the power terminal is back above the reset level",
			Happens: func(c *language.Compiler, _ language.Args) outcome.Event {
				limit := 0.0
				if c.Site != nil {
					limit = c.Site.Controller.ResetsBelow.SI
				}
				return outcome.Event{Condition: is(signal.Power.Voltage(), outcome.AtLeast, limit)}
			}},
	}
}

// on and off are the events of a state of the first placeholder's device. The rules that bring it about are needed.
func on[Device ~string](state func(Device) signal.Signal) func(*language.Compiler, language.Args) outcome.Event {
	return func(c *language.Compiler, a language.Args) outcome.Event { return turnsOn(stateOf(c, a, state)) }
}

func off[Device ~string](state func(Device) signal.Signal) func(*language.Compiler, language.Args) outcome.Event {
	return func(c *language.Compiler, a language.Args) outcome.Event { return turnsOff(stateOf(c, a, state)) }
}

func stateOf[Device ~string](c *language.Compiler, a language.Args, state func(Device) signal.Signal) signal.Signal {
	c.NeedContact(a.Text(0))
	c.NeedOutput(a.Text(0))
	return state(Device(a.Text(0)))
}

// reaches is the event that a quantity of the first placeholder's device reaches the second.
func reaches[Device ~string](of func(Device) signal.Signal, side outcome.Comparison) func(*language.Compiler,
	language.Args) outcome.Event {
	return func(_ *language.Compiler, a language.Args) outcome.Event {
		return outcome.Event{Condition: is(of(Device(a.Text(0))), side, a.SI(1))}
	}
}

// fillBegins is the event that the output which fills the tank of the site is on.
func fillBegins(c *language.Compiler) outcome.Event {
	c.Need(harness.FillRule)
	if c.Site == nil {
		return outcome.Event{}
	}
	fill := c.Site.Controller.Settings.Fill
	if fill == nil {
		c.Fail("the site has no fill rule, so that no fill can begin")
		return outcome.Event{}
	}
	return turnsOn(runSignal(c.Site, fill.Valve))
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
func alertArrives(c *language.Compiler, name string) outcome.Event {
	c.Need(append([]harness.Ability{harness.Alerts}, language.AlertNeeds[name]...)...)
	return turnsOn(signal.Cloud.Alert(name))
}

// declaredTimings are the ways to say it.
func declaredTimings() []language.Timing {
	return []language.Timing{
		{Text: `as {event}`, Tie: func(_ *language.Compiler, a language.Args) language.Args { return a }},
		{Text: `{duration} after {event}`, Tie: func(_ *language.Compiler, a language.Args) language.Args {
			a.After = a.Span(0)
			return a
		}},
		{Text: `at {time}`, Tie: func(c *language.Compiler, a language.Args) language.Args {
			return language.Args{Wait: c.Until(a.Span(0))}
		}},
		{Text: `while the zone {zone} runs`, Tie: func(c *language.Compiler, a language.Args) language.Args {
			c.NeedZone(a.Text(0))
			e := turnsOn(runSignal(c.Site, a.Text(0)))
			return language.Args{Event: &e, During: true}
		}},
		{Text: `{duration} into the fill`, Tie: func(c *language.Compiler, a language.Args) language.Args {
			e := fillBegins(c)
			return language.Args{Event: &e, After: a.Span(0)}
		}},
		{Text: `{duration} into the run of {zone}`, Tie: func(c *language.Compiler, a language.Args) language.Args {
			c.NeedZone(a.Text(1))
			e := turnsOn(runSignal(c.Site, a.Text(1)))
			return language.Args{Event: &e, After: a.Span(0)}
		}},
	}
}
