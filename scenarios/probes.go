package scenarios

// probePhrases are what else befalls moisture probes and their leads.
var probePhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `the lead of {probe} touches its supply{for}`,
		Meaning: "The analogue input lies at the voltage that feeds the probe.",
		Example: `the lead of "bed-probe" touches its supply`,
		compile: func(c *compiler, a args) { c.befall("probe.shorted-to-supply", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the lead of {probe} touches ground{for}`,
		Meaning: "The analogue input lies at ground.",
		Example: `the lead of "bed-probe" touches ground`,
		compile: func(c *compiler, a args) { c.befall("probe.shorted-to-ground", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the probe {probe} is noisy by {voltage}{for}`,
		Meaning: "Its output is off by another amount each second; the voltage is their rms.",
		Example: `the probe "bed-probe" is noisy by 50 mV`,
		compile: func(c *compiler, a args) { c.befall("probe.noisy", a.text(0), map[string]float64{"noise": a.si(1)}, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the probe {probe} shows {share} more water than there is{for}`,
		Meaning: "It has drifted by so much water content by volume.",
		Example: `the probe "bed-probe" shows 4 % more water than there is`,
		compile: func(c *compiler, a args) { c.befall("probe.drift", a.text(0), map[string]float64{"shift": a.si(1)}, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the probe {probe} shows {share} less water than there is{for}`,
		Meaning: "It has drifted by so much water content by volume.",
		Example: `the probe "bed-probe" shows 4 % less water than there is`,
		compile: func(c *compiler, a args) {
			c.befall("probe.drift", a.text(0), map[string]float64{"shift": -a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the probe {probe} is stuck{for}`,
		Meaning: "Its output stays what it is at that moment.",
		Example: `the probe "bed-probe" is stuck`,
		compile: func(c *compiler, a args) { c.befall("probe.stuck", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `{share} of the probe {probe} stands/stand in air{for}`,
		Meaning: "That part of its blades feels air in the place of soil.",
		Example: `100 % of the probe "bed-probe" stands in air`,
		compile: func(c *compiler, a args) {
			c.befall("probe.out-of-soil", a.text(1), map[string]float64{"share": a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `mains hum of {current} couples into the lead of {probe}{for}`,
		Meaning: "An alternating current of that amplitude flows into what the lead is connected to: nothing much while the probe is plugged in, the input's impedance when it is not.",
		Example: `mains hum of 1 µA couples into the lead of "bed-probe"`,
		compile: func(c *compiler, a args) { c.befall("probe.hum", a.text(1), map[string]float64{"current": a.si(0)}, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the transmitter of {probe} reports a failure by a low current{for}`,
		Meaning: "The current of its loop is 3.6 mA (NE 43). A probe that puts out volts has no transmitter.",
		Example: `the transmitter of "bench-probe" reports a failure by a low current`,
		compile: func(c *compiler, a args) {
			if c.needLoop(a.text(0)) {
				c.befall("probe.fails-low", a.text(0), nil, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the transmitter of {probe} reports a failure by a high current{for}`,
		Meaning: "The current of its loop is 21 mA (NE 43). A probe that puts out volts has no transmitter.",
		Example: `the transmitter of "bench-probe" reports a failure by a high current`,
		compile: func(c *compiler, a args) {
			if c.needLoop(a.text(0)) {
				c.befall("probe.fails-high", a.text(0), nil, a)
			}
		},
	},
}
