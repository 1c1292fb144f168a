package scenarios

import (
	"strconv"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// networkPhrases are what befalls the network, and what people do through it.
var networkPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `{remote zone} is started remotely for {duration}`,
		Formerly: []string{`{remote zone} is started from afar for {duration}`},
		Meaning:  "Somebody sends a start of the zone with this run time. Without a connection it is lost.",
		Example:  `"sprays" is started remotely for 10 min`,
		compile: func(c *compiler, a args) {
			c.need(harness.RemoteStart)
			if longest := harness.LongestStart.Seconds(); a.si(1) > longest {
				c.problem(strconv.Quote(a.text(1)), "a run time of at most "+quantity.Format(longest, quantity.Duration))
			}
			c.happen(harness.Act{Mark: "start " + a.text(0), Target: a.text(0),
				Turns: turn("cloud", "start "+a.text(0), a.si(1), signal.Second)}, a)
		},
	},
}

// alertOutcomes judge what the cloud hears of the controller.
var alertOutcomes = []Phrase{
	{
		Kind: Then, Pattern: `the alert {alert} arrives {within}`,
		Meaning: "The cloud receives it after the fault, the stimulus or the event, by then. To spare: how much later it could have come.",
		Example: `the alert "no flow" arrives within 2 min`,
		compile: func(c *compiler, a args) {
			c.meet(a, happens(c.alertArrives(a.text(0))))
		},
	},
	{
		Kind: Then, Pattern: `no alert {alert} arrives`,
		Meaning: "The cloud does not receive it.",
		Example: `no alert "spill" arrives`,
		compile: func(c *compiler, a args) { c.hold(outcome.None(c.alertArrives(a.text(0)))) },
	},
	{
		Kind: Then, Pattern: `at most {count} alert(s) {alert} arrive(s)`,
		Meaning: "To spare: how many more of this kind there could have been.",
		Example: `at most 2 alerts "probe fault" arrive`,
		compile: func(c *compiler, a args) { c.hold(outcome.AtMostTimes(int(a.si(0)), c.alertArrives(a.text(1)))) },
	},
	{
		Kind: Then, Pattern: `at most {count} alert(s) arrive(s)`,
		Meaning: "Of any kind. To spare: how many more there could have been.",
		Example: `at most 3 alerts arrive`,
		compile: func(c *compiler, a args) { c.alertsAtMost(a.si(0)) },
	},
	{
		Kind: Then, Pattern: `no alert arrives`,
		Meaning: "The cloud receives no alert of any kind.",
		Example: `no alert arrives`,
		compile: func(c *compiler, a args) { c.alertsAtMost(0) },
	},
	{
		Kind: Then, Pattern: `at least {count} report(s) arrive(s)`,
		Meaning: "To spare: how many more there were.",
		Example: `at least 20 reports arrive`,
		compile: func(c *compiler, a args) {
			c.need(harness.Reports)
			c.couldFail(a.si(0) > 0, "none would be enough")
			c.hold(outcome.AtLeastTimes(int(a.si(0)), turnsOn(signal.Cloud.Report())))
		},
	},
	{
		Kind: Then, Pattern: `reports keep arriving at least every {duration}`,
		Meaning: "From the beginning to the first, from each to the next, and from the last to the end. To spare: how much longer the longest gap could have been.",
		Example: `reports keep arriving at least every 20 min`,
		compile: func(c *compiler, a args) {
			c.need(harness.Reports)
			c.hold(outcome.GapAtMost(turnsOn(signal.Cloud.Report()), a.span(0)))
		},
	},
	{
		Kind: Then, Pattern: `a report arrives {within}`,
		Meaning: "The cloud receives one by then. To spare: how much later it could have come.",
		Example: `a report arrives within 16 min of the access point answering again`,
		compile: func(c *compiler, a args) {
			c.need(harness.Reports)
			c.meet(a, happens(turnsOn(signal.Cloud.Report())))
		},
	},
	{
		Kind: Then, Pattern: `the controller is connected {within}`,
		Meaning: "Its session with the cloud opens, anew where it was open, and is open at the deadline. To spare: how much later it could have come.",
		Example: `the controller is connected within 6 min of the access point answering again`,
		compile: func(c *compiler, a args) {
			c.meet(a, settles(isOn(signal.WiFi.Session())))
		},
	},
}

// alertsAtMost limits how many alerts the cloud receives.
func (c *compiler) alertsAtMost(n float64) {
	c.need(harness.Alerts)
	c.hold(riseAtMost(signal.Cloud.Alerts(), n))
}
