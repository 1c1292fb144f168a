package scenarios

import (
	"ullage/harness"
	"ullage/harness/outcome"
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
		Kind: Given | When, Timed: true, Pattern: `the supply grows weaker by {resistance}{for}`,
		Meaning: "So much is added to the internal resistance of the supply.",
		Example: `the supply grows weaker by 6 ohm`,
		compile: func(c *compiler, a args) {
			if c.needPower() {
				c.befall("power.weak", harness.PowerName, map[string]float64{"resistance": a.si(0)}, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the battery has {share} of its charge left{for}`,
		Meaning: "The battery behaves as one with no more charge than this.",
		Example: `the battery has 15 % of its charge left`,
		compile: func(c *compiler, a args) {
			if c.needBattery() {
				c.befall("battery.flat", harness.PowerName, map[string]float64{"share": a.si(0)}, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the coil of {valve} breaks{for}`,
		Meaning: "No current passes the coil, or the motor, of the valve.",
		Example: `the coil of "sprays" breaks`,
		compile: func(c *compiler, a args) { c.befall("coil.open", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the coil of {valve} shorts{for}`,
		Meaning: "Its output feeds nothing but wires.",
		Example: `the coil of "sprays" shorts`,
		compile: func(c *compiler, a args) { c.befall("coil.shorted", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the leads of {valve} are swapped{for}`,
		Meaning: "Its two wires are connected the other way round.",
		Example: `the leads of "sprays" are swapped`,
		compile: func(c *compiler, a args) { c.befall("coil.leads-swapped", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the plunger of {valve} jams{for}`,
		Meaning: "The plunger of its coil stays where it is.",
		Example: `the plunger of "sprays" jams`,
		compile: func(c *compiler, a args) { c.befall("coil.plunger-jammed", a.text(0), nil, a) },
	},
	{
		Kind: Then, Pattern: `the coil of {valve} stays below {temperature}`,
		Meaning: "The temperature of a coil for alternating current. To spare: how far below it stayed at its hottest.",
		Example: `the coil of "sprays" stays below 130 °C`,
		compile: func(c *compiler, a args) {
			c.hold(always(signal.Valve(a.text(0)).Temperature(), outcome.AtMost, a.si(1)))
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
