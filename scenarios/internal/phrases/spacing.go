package phrases

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// shortest makes the Compile of a phrase about how long the state of the first placeholder's device lasts at the least.
func shortest(state func(*language.Compiler, string) signal.Signal,
	property func(outcome.Condition, signal.Time) outcome.Property) func(*language.Compiler, language.Args) {
	return func(c *language.Compiler, a language.Args) {
		c.NeedOutput(a.Text(0))
		c.HoldAtLeast(a.Span(1), property(isOn(state(c, a.Text(0))), a.Span(1)))
	}
}

func runs(c *language.Compiler, zone string) signal.Signal { return runSignal(c.Site, zone) }

func isOpen(_ *language.Compiler, valve string) signal.Signal { return signal.Valve(valve).Open() }

func isRunning(_ *language.Compiler, pump string) signal.Signal { return signal.Pump(pump).Running() }

// How long what is cut by the beginning or the end of a run counts.
const (
	cutRuns   = "One that is cut by the beginning or the end of what is observed counts if what was seen of it is long enough. "
	cutPauses = "The pause after the last counts if it is long enough. "
)

// spacingOutcomes judge how long something lasts at the least, and how long it pauses.
var spacingOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `each run of the zone {zone} lasts at least {duration}`,
		Meaning: "From each opening of its valve, or start of its pump, to its end. " + cutRuns + "Margin: how much shorter the shortest could have been.",
		Example: `each run of the zone "sprays" lasts at least 4 min`,
		Compile: shortest(runs, outcome.ShortestStretch),
	},
	{
		Kind: feature.Then, Pattern: `the zone {zone} rests for at least {duration} between two runs`,
		Meaning: cutPauses + "Margin: how much shorter the shortest could have been.",
		Example: `the zone "sprays" rests for at least 10 min between two runs`,
		Compile: shortest(runs, outcome.ShortestPause),
	},
	{
		Kind: feature.Then, Pattern: `the valve {valve} stays open for at least {duration} each time`,
		Meaning: "From each opening to the next closing. " + cutRuns + "Margin: how much shorter the shortest could have been.",
		Example: `the valve "top-up" stays open for at least 5 s each time`,
		Compile: shortest(isOpen, outcome.ShortestStretch),
	},
	{
		Kind: feature.Then, Pattern: `the valve {valve} stays shut for at least {duration} between two openings`,
		Meaning: cutPauses + "Margin: how much shorter the shortest could have been.",
		Example: `the valve "top-up" stays shut for at least 10 s between two openings`,
		Compile: shortest(isOpen, outcome.ShortestPause),
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} runs for at least {duration} each time`,
		Meaning: "From each start to the next stop. " + cutRuns + "Margin: how much shorter the shortest could have been.",
		Example: `the pump "pump" runs for at least 10 s each time`,
		Compile: shortest(isRunning, outcome.ShortestStretch),
	},
	{
		Kind: feature.Then, Pattern: `the pump {pump} rests for at least {duration} between two runs`,
		Meaning: cutPauses + "Margin: how much shorter the shortest could have been.",
		Example: `the pump "pump" rests for at least 1 min between two runs`,
		Compile: shortest(isRunning, outcome.ShortestPause),
	},
	{
		Kind: feature.Then, Pattern: `at least {duration} pass(es) between two connection attempts`,
		Meaning: "From each time that the controller asks for a session with the cloud to the next. " + cutPauses + "Margin: how much sooner it could have asked.",
		Example: `at least 5 s pass between two connection attempts`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.HoldAtLeast(a.Span(0), outcome.GapAtLeast(turnsOn(signal.WiFi.Attempt()), a.Span(0)))
		},
	},
}
