package phrases

import (
	"fmt"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// alertCounts judge how many alerts arrive at the least, and whether any does.
var alertCounts = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `an alert arrives {within}`,
		Meaning: "Of whatever kind. Margin: how much later the first could have come.",
		Example: `an alert arrives within 15 min`,
		Compile: func(c *language.Compiler, a language.Args) { c.Meet(a, anyArrives(c)) },
	},
	{
		Kind: feature.Then, Pattern: `at least {count} alert(s) arrive(s)`,
		Meaning: "Of any kind. Margin: how many more there were.",
		Example: `at least 1 alert arrives`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Need(harness.Alerts)
			c.CouldFail(a.SI(0) > 0, "none would be enough")
			c.Hold(outcome.RiseAtLeast(signal.Cloud.Alerts().Name(), a.SI(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `at least {count} alert(s) {alert} arrive(s)`,
		Meaning: "Margin: how many more of this kind there were.",
		Example: `at least 1 alert "probe fault" arrives`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.CouldFail(a.SI(0) > 0, "none would be enough")
			c.Hold(outcome.AtLeastTimes(int(a.SI(0)), alertArrives(c, a.Text(1))))
		},
	},
	{
		Kind: feature.Then, Pattern: `between {count} and {count} alerts {alert} arrive`,
		Meaning: "Margin: how many more or fewer of this kind there could have been, whichever is the smaller.",
		Example: `between 1 and 3 alerts "probe fault" arrive`,
		Compile: func(c *language.Compiler, a language.Args) {
			least, most := int(a.SI(0)), int(a.SI(1))
			if most < least {
				c.Problem(fmt.Sprintf("between %d and %d alerts", least, most), "the smaller number first")
				return
			}
			c.Hold(outcome.BetweenTimes(least, most, alertArrives(c, a.Text(2))))
		},
	},
}

// anyArrives says that an alert of some kind arrives in time.
func anyArrives(c *language.Compiler) deadline {
	c.Need(harness.Alerts)
	var kinds []outcome.Event
	for _, name := range harness.AlertNames() {
		kinds = append(kinds, turnsOn(signal.Cloud.Alert(name)))
	}
	return func(from outcome.Event, within signal.Time) outcome.Property {
		return outcome.AnyWithin(from, within, kinds, alertSpacing(c), signal.Cloud.Alerts())
	}
}
