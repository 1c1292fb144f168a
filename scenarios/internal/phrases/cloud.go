package phrases

import (
	"strconv"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// connectionPhrases are what people send through the cloud.
var connectionPhrases = []language.Phrase{
	{
		Kind: feature.When, Timed: true, Pattern: `{remote zone} is started remotely for {duration}, and stopped after {duration}`,
		Formerly: []string{`{remote zone} is started from afar for {duration}, and stopped after {duration}`},
		Meaning:  "Somebody sends a start of the zone with this run time, and then a stop.",
		Example:  `"sprays" is started remotely for 12 min, and stopped after 2 min`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Need(harness.RemoteStart)
			if longest := harness.LongestStart.Seconds(); a.SI(1) > longest {
				c.Problem(strconv.Quote(a.Text(1)), "a run time of at most "+quantity.Format(longest,
					quantity.Duration))
			}
			turns := append(language.Turn("cloud", "start "+a.Text(0), a.SI(1), signal.Second),
				stop(a.Text(0), a.Span(2))...)
			c.Happen(harness.Act{Mark: "start " + a.Text(0), Target: a.Text(0), Turns: turns}, a)
		},
	},
	{
		Kind: feature.When, Timed: true, Pattern: `{remote zone} is stopped remotely`, Formerly: []string{`{remote zone} is stopped from afar`},
		Meaning: "Somebody sends a stop of the zone. It ends what was started remotely.",
		Example: `"sprays" is stopped remotely`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Need(harness.RemoteStart)
			c.Happen(harness.Act{Mark: "stop " + a.Text(0), Target: a.Text(0), Turns: stop(a.Text(0), 0)}, a)
		},
	},
}

// stop is the turn that sends a stop of a zone at a moment.
func stop(zone string, at signal.Time) []fault.Turn {
	return []fault.Turn{{Device: "cloud", Knob: "stop " + zone, Value: 1, From: at, Until: at + signal.Second}}
}
