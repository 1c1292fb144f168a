package scenarios

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// powerPhrases are what befalls the power and the firmware.
var powerPhrases = []Phrase{
	{
		Kind: When, Timed: true, Pattern: `the power is lost{for}`,
		Meaning: "No voltage at the power terminal.",
		Example: `the power is lost for 3 s`,
		compile: func(c *compiler, a args) { c.befall("power.lost", harness.PowerName, nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the supply voltage falls to {share}{for}`,
		Meaning: "The voltage at the power terminal is this share of what it should be.",
		Example: `the supply voltage falls to 60 % for 2 s`,
		compile: func(c *compiler, a args) {
			c.befall("power.brown-out", harness.PowerName, map[string]float64{"share": a.si(0)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `the controller restarts`,
		Meaning: "Its firmware is reset and boots, with the power on.",
		Example: `the controller restarts`,
		compile: func(c *compiler, a args) {
			a.window = signal.Second
			c.befall("controller.reset", "controller", nil, a)
		},
	},
}
