package phrases

import (
	"strconv"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// networkPhrases are what people do through the network.
var networkPhrases = []language.Phrase{
	{
		Kind: feature.Given | feature.When, Timed: true, Pattern: `{remote zone} is started remotely for {duration}`,
		Formerly: []string{`{remote zone} is started from afar for {duration}`},
		Meaning:  "Somebody sends a start of the zone with this run time. Without a connection it is not delivered.",
		Example:  `"sprays" is started remotely for 10 min`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Need(harness.RemoteStart)
			if longest := harness.LongestStart.Seconds(); a.SI(1) > longest {
				c.Problem(strconv.Quote(a.Text(1)), "a run time of at most "+quantity.Format(longest,
					quantity.Duration))
			}
			c.Happen(harness.Act{Mark: "start " + a.Text(0), Target: a.Text(0),
				Turns: language.Turn("cloud", "start "+a.Text(0), a.SI(1), signal.Second)}, a)
		},
	},
}

// alertOutcomes judge what the cloud hears of the controller.
var alertOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `the alert {alert} arrives {within}`,
		Meaning: "The cloud receives it after the fault, the stimulus or the event, by then. None is due within the shortest time between two alerts of one kind (controller/settings/alerts/repeat-after) after the last. Margin: how much later it could have come.",
		Example: `the alert "no flow" arrives within 2 min`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Meet(a, arrives(c, a.Text(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `no alert {alert} arrives`,
		Meaning: "The cloud does not receive it.",
		Example: `no alert "spill" arrives`,
		Compile: func(c *language.Compiler, a language.Args) { c.Hold(outcome.None(alertArrives(c, a.Text(0)))) },
	},
	{
		Kind: feature.Then, Pattern: `at most {count} alert(s) {alert} arrive(s)`,
		Meaning: "Margin: how many more of this kind there could have been.",
		Example: `at most 2 alerts "probe fault" arrive`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.AtMostTimes(int(a.SI(0)), alertArrives(c, a.Text(1))))
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {count} alert(s) arrive(s)`,
		Meaning: "Of any kind. Margin: how many more there could have been.",
		Example: `at most 3 alerts arrive`,
		Compile: func(c *language.Compiler, a language.Args) { alertsAtMost(c, a.SI(0)) },
	},
	{
		Kind: feature.Then, Pattern: `no alert arrives`,
		Meaning: "The cloud receives no alert of any kind.",
		Example: `no alert arrives`,
		Compile: func(c *language.Compiler, a language.Args) { alertsAtMost(c, 0) },
	},
	{
		Kind: feature.Then, Pattern: `at least {count} report(s) arrive(s)`,
		Meaning: "Margin: how many more there were.",
		Example: `at least 20 reports arrive`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Need(harness.Reports)
			c.CouldFail(a.SI(0) > 0, "none would be enough")
			c.Hold(outcome.AtLeastTimes(int(a.SI(0)), turnsOn(signal.Cloud.Report())))
		},
	},
	{
		Kind: feature.Then, Pattern: `reports keep arriving at least every {duration}`,
		Meaning: "From the beginning to the first, from each to the next, and from the last to the end. Margin: how much longer the longest gap could have been.",
		Example: `reports keep arriving at least every 20 min`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Need(harness.Reports)
			c.HoldAtMost(a.Span(0), outcome.GapAtMost(turnsOn(signal.Cloud.Report()), a.Span(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `a report arrives {within}`,
		Meaning: "The cloud receives one by then. Margin: how much later it could have come.",
		Example: `a report arrives within 16 min of the access point answering again`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Need(harness.Reports)
			c.Meet(a, happens(turnsOn(signal.Cloud.Report())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the controller is connected {within}`,
		Meaning: "Its session with the cloud opens, anew where it was open, and is open at the deadline. Margin: how much later it could have come.",
		Example: `the controller is connected within 6 min of the access point answering again`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Meet(a, settles(isOn(signal.WiFi.Session())))
		},
	},
}

// arrives says that an alert arrives in time, where the settings of the site do not keep it back as a repeat.
func arrives(c *language.Compiler, alert string) deadline {
	event := alertArrives(c, alert)
	return func(from outcome.Event, within signal.Time) outcome.Property {
		return outcome.SpacedEventWithin(from, within, event, alertSpacing(c))
	}
}

// alertSpacing is the shortest time between two alerts of one kind.
func alertSpacing(c *language.Compiler) signal.Time {
	if c.Site == nil {
		return 0
	}
	return language.Span(c.Site.Controller.Settings.Alerts.RepeatAfter.SI)
}

// alertsAtMost limits how many alerts the cloud receives.
func alertsAtMost(c *language.Compiler, n float64) {
	c.Need(harness.Alerts)
	c.Hold(riseAtMost(signal.Cloud.Alerts(), n))
}
