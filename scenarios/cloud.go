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
		Kind: When, Timed: true, Pattern: `the access point restarts every night and is away for {duration}{for}`,
		Meaning: "It stops answering for so long, and again after every 24 h.",
		Example: `the access point restarts every night and is away for 90 s`,
		compile: func(c *compiler, a args) {
			c.befall("wifi.nightly-restart", "wifi", map[string]float64{"away": a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the internet is away{for}`,
		Meaning: "The access point answers, and nothing lies behind it: messages vanish, a connection that is tried gets no answer.",
		Example: `the internet is away for 1 h`,
		compile: func(c *compiler, a args) { c.befall("internet.down", "cloud", nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the broker refuses connections{for}`,
		Meaning: "The session ends at once, and every connection that is tried is refused.",
		Example: `the broker refuses connections for 1 h`,
		compile: func(c *compiler, a args) { c.befall("broker.down", "cloud", nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the network delays every message by {duration}{for}`,
		Meaning: "Each message and each acknowledgement arrives so much later, in the order in which they were sent.",
		Example: `the network delays every message by 12 s for 1 h`,
		compile: func(c *compiler, a args) {
			c.befall("network.delay", "wifi", map[string]float64{"delay": a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `{share} of the messages are lost{for}`,
		Meaning: "Each message and each acknowledgement, either way, is lost with this likelihood.",
		Example: `50 % of the messages are lost for 1 h`,
		compile: func(c *compiler, a args) {
			c.befall("network.loss", "wifi", map[string]float64{"share": a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `{share} of the messages arrive twice{for}`,
		Meaning: "Each message, either way, is delivered again a round trip later with this likelihood.",
		Example: `100 % of the messages arrive twice for 1 h`,
		compile: func(c *compiler, a args) {
			c.befall("network.duplicates", "wifi", map[string]float64{"share": a.si(0)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `the connection hangs half open`,
		Meaning: "What is sent in the present session vanishes, both ways, and neither end is told. A new connection is a good one.",
		Example: `the connection hangs half open`,
		compile: func(c *compiler, a args) {
			a.window = signal.Second
			c.befall("network.half-open", "wifi", nil, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `stops from afar are lost{for}`,
		Meaning: "The message that should end a run never arrives; starts do.",
		Example: `stops from afar are lost`,
		compile: func(c *compiler, a args) { c.befall("command.stop-lost", "cloud", nil, a) },
	},
	{
		Kind: When, Timed: true, Pattern: `{remote zone} is started from afar for {duration}, and stopped after {duration}`,
		Meaning: "Somebody sends a start of the zone with this run time, and then a stop.",
		Example: `"sprays" is started from afar for 12 min, and stopped after 2 min`,
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
		Kind: When, Timed: true, Pattern: `{remote zone} is stopped from afar`,
		Meaning: "Somebody sends a stop of the zone. It ends what was started from afar.",
		Example: `"sprays" is stopped from afar`,
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

// declaredPhrases are those of the faults that are declared and do not act: they are read, and refused with what they wait for.
func declaredPhrases() []Phrase {
	var phrases []Phrase
	for _, e := range fault.Catalogue() {
		if e.Awaits == "" {
			continue
		}
		phrases = append(phrases, Phrase{
			Kind: Given | When, Timed: true, Pattern: e.Example,
			Meaning: "Refused until " + e.Awaits + " are simulated: " + e.ID + " is declared and does not act.",
			Example: e.Example,
			compile: func(c *compiler, a args) { c.befall(e.ID, e.Kind, nil, a) },
		})
	}
	return phrases
}
