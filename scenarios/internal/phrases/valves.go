package phrases

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// valveOutcomes judge the discs of valves and the runs of zones.
var valveOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `the valve {valve} closes {within}`,
		Meaning: "Its disc comes to its seat by then and is there at the deadline. Margin: how much later it could have come.",
		Example: `the valve "top-up" closes within 5 s of "tank-spill" operating`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Meet(a,
				settles(isOff(signal.Valve(a.Text(0)).Open())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the valve {valve} opens {within}`,
		Meaning: "It is shut when the time begins to count, and its disc leaves its seat by then. Margin: how much later it could have come.",
		Example: `the valve "top-up" opens within 5 s of "tank-low" operating`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.NeedOutput(a.Text(0))
			c.Meet(a, becomes(isOn(signal.Valve(a.Text(0)).Open())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the valve {valve} never opens`,
		Meaning: "Its disc stays on its seat.",
		Example: `the valve "sprays" never opens`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.Never(isOn(signal.Valve(a.Text(0)).Open())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the valve {valve} is never open longer than {duration} at a stretch`,
		Meaning: "Margin: how much longer the longest stretch could have been.",
		Example: `the valve "top-up" is never open longer than 26 min at a stretch`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.HoldAtMost(a.Span(1), outcome.LongestStretch(isOn(signal.Valve(a.Text(0)).Open()), a.Span(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `water runs through the valve {valve} for at most {duration} at a stretch`,
		Meaning: "Less than a tenth of a litre a minute is no water. Margin: how much longer the longest stretch could have been.",
		Example: `water runs through the valve "top-up" for at most 26 min at a stretch`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.HoldAtMost(a.Span(1), outcome.LongestStretch(is(signal.Valve(a.Text(0)).Flow(), outcome.AtLeast, still), a.Span(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the valve {valve} is open for at most {duration} in all`,
		Meaning: "Margin: how much longer it could have been open.",
		Example: `the valve "sprays" is open for at most 40 min in all`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.HoldAtMost(a.Span(1), outcome.TotalAtMost(isOn(signal.Valve(a.Text(0)).Open()), a.Span(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the valve {valve} opens at most {count} time(s)`,
		Meaning: "Margin: how often more it could have opened.",
		Example: `the valve "top-up" opens at most 2 times`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.AtMostTimes(int(a.SI(1)), turnsOn(signal.Valve(a.Text(0)).Open())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the valves {valve} and {valve} are never open together`,
		Meaning: "Margin: the shortest time between one closing and the other opening.",
		Example: `the valves "sprays" and "top-up" are never open together`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.NeverTogether(isOn(signal.Valve(a.Text(0)).Open()), isOn(signal.Valve(a.Text(1)).Open())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the zone {zone} runs at least {count} time(s)`,
		Meaning: "Its valve opens, or its pump starts, so often. Margin: how often more it did.",
		Example: `the zone "sprays" runs at least 2 times`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.NeedZone(a.Text(0))
			c.CouldFail(a.SI(1) > 0, "never would be enough")
			c.Hold(outcome.AtLeastTimes(int(a.SI(1)), turnsOn(runSignal(c.Site, a.Text(0)))))
		},
	},
	{
		Kind: feature.Then, Pattern: `the zone {zone} runs at most {count} time(s)`,
		Meaning: "Its valve opens, or its pump starts, not more often. Margin: how often more it could have.",
		Example: `the zone "sprays" runs at most 6 times`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.AtMostTimes(int(a.SI(1)), turnsOn(runSignal(c.Site, a.Text(0)))))
		},
	},
}

// pumpOutcomes judge pumps.
var pumpOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `the pump {pump} is primed {within}`,
		Meaning: "It is full of water by then and at the deadline. Margin: how much later it could have come.",
		Example: `the pump "pump" is primed within 2 min of "tank-low" releasing`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Meet(a,
				settles(isOn(signal.Pump(a.Text(0)).Primed())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} stops {within}`,
		Meaning: "Its contactor comes out by then and is out at the deadline. Margin: how much later it could have come.",
		Example: `the pump "pump" stops within 2 s of "tank-low" operating`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Meet(a, settles(isOff(signal.Pump(a.Text(0)).Running())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} starts {within}`,
		Meaning: "It stands when the time begins to count, and its contactor comes in by then. Margin: how much later it could have come.",
		Example: `the pump "pump" starts within 10 min of "tank-low" releasing`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.NeedOutput(a.Text(0))
			c.Meet(a, becomes(isOn(signal.Pump(a.Text(0)).Running())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} never starts`,
		Meaning: "Its contactor stays out.",
		Example: `the pump "pump" never starts`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.Never(isOn(signal.Pump(a.Text(0)).Running())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} runs dry for at most {duration} in all`,
		Meaning: "The time during which it runs without water, for it draws air or has not been primed since. Margin: how much longer it could have been.",
		Example: `the pump "pump" runs dry for at most 5 s in all`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.HoldAtMost(a.Span(1), outcome.TotalAtMost(isOn(signal.Pump(a.Text(0)).Dry()), a.Span(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} runs dry at most {count} time(s)`,
		Meaning: "It loses its water, or starts without, not more often. Margin: how often more it could have.",
		Example: `the pump "pump" runs dry at most 3 times`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.AtMostTimes(int(a.SI(1)), turnsOn(signal.Pump(a.Text(0)).Dry())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} never runs while {contact} is operated`,
		Meaning: "Margin: the shortest time between the float operating and the pump running.",
		Example: `the pump "pump" never runs while "tank-low" is operated`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.NeverTogether(isOn(signal.Pump(a.Text(0)).Running()),
				isOn(signal.Contact(a.Text(1)).Operated())))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} never runs longer than {duration} at a stretch`,
		Meaning: "Margin: how much longer the longest stretch could have been.",
		Example: `the pump "pump" never runs longer than 21 min at a stretch`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.HoldAtMost(a.Span(1), outcome.LongestStretch(isOn(signal.Pump(a.Text(0)).Running()), a.Span(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} runs for at most {duration} in all`,
		Meaning: "Margin: how much longer it could have run.",
		Example: `the pump "pump" runs for at most 40 min in all`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.HoldAtMost(a.Span(1), outcome.TotalAtMost(isOn(signal.Pump(a.Text(0)).Running()), a.Span(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} starts at most {count} time(s)`,
		Meaning: "Margin: how often more it could have started.",
		Example: `the pump "pump" starts at most 4 times`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(outcome.AtMostTimes(int(a.SI(1)), turnsOn(signal.Pump(a.Text(0)).Running())))
		},
	},
}
