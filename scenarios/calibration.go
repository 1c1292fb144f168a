package scenarios

// calibrationPhrases are what befalls what a probe says of the soil around it.
var calibrationPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `spikes of {voltage} come on the probe {probe} in {share} of the seconds{for}`,
		Meaning: "In that share of the seconds its output is off by as much, up or down.",
		Example: `spikes of 500 mV come on the probe "bed-probe" in 1 % of the seconds`,
		compile: func(c *compiler, a args) {
			c.befall("probe.spikes", a.text(1), map[string]float64{"spike": a.si(0), "share": a.si(2)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `{share} of the probe {probe} stands/stand in water{for}`,
		Meaning: "That part of its blades feels water in the place of soil.",
		Example: `40 % of the probe "bed-probe" stands in water`,
		compile: func(c *compiler, a args) {
			c.befall("probe.in-water", a.text(1), map[string]float64{"share": a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the probe {probe} shows {factor} times the water that there is{for}`,
		Meaning: "What it shows is in proportion to the water content by volume, by a wrong factor.",
		Example: `the probe "bed-probe" shows 1.3 times the water that there is`,
		compile: func(c *compiler, a args) {
			c.befall("probe.wrong-calibration", a.text(0), map[string]float64{"factor": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `dry and wet of the probe {probe} are swapped{for}`,
		Meaning: "At its dry point it puts out what it should at its wet one, and the other way round.",
		Example: `dry and wet of the probe "bed-probe" are swapped`,
		compile: func(c *compiler, a args) { c.befall("probe.calibration-swapped", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the probe {probe} follows its soil with a time constant of {duration}{for}`,
		Meaning: "In that time it has come 63 % of the way from one reading to the next.",
		Example: `the probe "bed-probe" follows its soil with a time constant of 30 min`,
		compile: func(c *compiler, a args) {
			c.befall("probe.slow", a.text(0), map[string]float64{"constant": a.si(1)}, a)
		},
	},
}
