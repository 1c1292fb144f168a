package scenarios

import (
	"strconv"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// connectionPhrases are what befalls the way to the cloud.
var connectionPhrases = []Phrase{
	{
		Kind: When, Timed: true, Pattern: `{remote zone} is started remotely for {duration}, and stopped after {duration}`,
		Formerly: []string{`{remote zone} is started from afar for {duration}, and stopped after {duration}`},
		Meaning:  "Somebody sends a start of the zone with this run time, and then a stop.",
		Example:  `"sprays" is started remotely for 12 min, and stopped after 2 min`,
		compile: func(c *compiler, a args) {
			c.need(harness.RemoteStart)
			if longest := harness.LongestStart.Seconds(); a.si(1) > longest {
				c.problem(strconv.Quote(a.text(1)), "a run time of at most "+quantity.Format(longest, quantity.Duration))
			}
			turns := append(turn("cloud", "start "+a.text(0), a.si(1), signal.Second), stop(a.text(0), a.span(2))...)
			c.happen(harness.Act{Mark: "start " + a.text(0), Target: a.text(0), Turns: turns}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `{remote zone} is stopped remotely`, Formerly: []string{`{remote zone} is stopped from afar`},
		Meaning: "Somebody sends a stop of the zone. It ends what was started remotely.",
		Example: `"sprays" is stopped remotely`,
		compile: func(c *compiler, a args) {
			c.need(harness.RemoteStart)
			c.happen(harness.Act{Mark: "stop " + a.text(0), Target: a.text(0), Turns: stop(a.text(0), 0)}, a)
		},
	},
}

// stop is the turn that sends a stop of a zone at a moment.
func stop(zone string, at signal.Time) []fault.Turn {
	return []fault.Turn{{Device: "cloud", Knob: "stop " + zone, Value: 1, From: at, Until: at + signal.Second}}
}
