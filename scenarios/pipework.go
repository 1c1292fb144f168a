package scenarios

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// pipeworkPhrases are what befalls pipes, filters, hand valves and the openings that water leaves by.
var pipeworkPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `a hole of {length} opens in the pipe {pipe}{for}`,
		Meaning: "Water gets out of the pipe at its far end through a round hole of this diameter.",
		Example: `a hole of 2 mm opens in the pipe "main"`,
		compile: func(c *compiler, a args) {
			c.befall("pipe.leak", a.text(1), map[string]float64{"hole": a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the pipe {pipe} bursts{for}`,
		Meaning: "A hole of 8 mm opens at its far end.",
		Example: `the pipe "main" bursts`,
		compile: func(c *compiler, a args) { c.befall("pipe.burst", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the pipe {pipe} comes off{for}`,
		Meaning: "Its far end lies in the open, over the whole of its bore.",
		Example: `the pipe "spray line" comes off`,
		compile: func(c *compiler, a args) { c.befall("pipe.off", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the filter {filter} is blocked by {share}{for}`,
		Meaning: "So much of its passage is blocked, besides what the water of the run blocks.",
		Example: `the filter "filter" is blocked by 90 %`,
		compile: func(c *compiler, a args) {
			c.befall("filter.loaded", a.text(0), map[string]float64{"share": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the nozzles of {outlet} are clogged by {share}{for}`,
		Meaning: "Each of its openings has so much less area, and gives so much less at the same pressure.",
		Example: `the nozzles of "nozzles" are clogged by 50 %`,
		compile: func(c *compiler, a args) {
			if c.needNozzles(a.text(0)) {
				c.befall("nozzle.clogged", a.text(0), map[string]float64{"share": a.si(1)}, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the emitters of {lateral} are clogged by {share}{for}`,
		Meaning: "Each of its emitters has so much less area, and gives so much less at the same pressure.",
		Example: `the emitters of "drip lines" are clogged by 50 %`,
		compile: func(c *compiler, a args) {
			c.befall("emitter.clogged", a.text(0), map[string]float64{"share": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `an emitter of {lateral} is torn off{for}`,
		Meaning: "A hole of 3 mm is open at the far end of one line.",
		Example: `an emitter of "drip lines" is torn off`,
		compile: func(c *compiler, a args) { c.befall("emitter.off", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the end of a line of {lateral} comes off{for}`,
		Meaning: "One line is open at its far end, over the whole of its bore.",
		Example: `the end of a line of "drip lines" comes off`,
		compile: func(c *compiler, a args) { c.befall("line.off", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `somebody sets the throttle {throttle} to {share}{for}`,
		Meaning: "The hand valve passes this share of its capacity.",
		Example: `somebody sets the throttle "lawn throttle" to 5 %`,
		compile: func(c *compiler, a args) {
			c.befall("throttle.turned", a.text(0), map[string]float64{"set": a.si(1)}, a)
		},
	},
}

// pipeworkOutcomes judge what gets out of pipes, and what openings and filters do.
var pipeworkOutcomes = []Phrase{
	{
		Kind: Then, Pattern: `at most {volume} leaks/leak out of {pipe or drip line}`,
		Meaning: "What gets out through a hole or an open end of a pipe or a drip line. To spare: how much more it could have been.",
		Example: `at most 50 L leak out of "main"`,
		compile: func(c *compiler, a args) { c.hold(riseAtMost(signal.Part(a.text(1)).Leaked(), a.si(0))) },
	},
	{
		Kind: Then, Pattern: `the nozzles of {sprinkler} are weak for at most {duration} in all`,
		Meaning: "The time in which water leaves them with less than the pressure that they work above. To spare: how much longer it could have been.",
		Example: `the nozzles of "sprinklers" are weak for at most 30 s in all`,
		compile: func(c *compiler, a args) {
			c.hold(outcome.TotalAtMost(isOn(signal.Outlet(a.text(0)).Weak()), a.span(1)))
		},
	},
	{
		Kind: Then, Pattern: `the filter {filter} is never blocked by more than {share}`,
		Meaning: "To spare: how much more of its passage could have been blocked.",
		Example: `the filter "filter" is never blocked by more than 80 %`,
		compile: func(c *compiler, a args) {
			c.couldFail(a.si(1) < 0.99, "a filter always passes a hundredth")
			c.hold(always(signal.Filter(a.text(0)).Loading(), outcome.AtMost, a.si(1)))
		},
	},
}

// leaky are the parts that water can get out of.
func leaky(s *sitefile.Site) []string {
	all := names(s.Pipes, func(d sitefile.Pipe) string { return d.Name })
	return append(all, names(s.Laterals, func(d sitefile.Lateral) string { return d.Name })...)
}

// sprinklers are the outlets that need a pressure to work.
func sprinklers(s *sitefile.Site) []string {
	var all []string
	for _, o := range s.Outlets {
		if o.WorksAbove.IsSet() {
			all = append(all, o.Name)
		}
	}
	return all
}
