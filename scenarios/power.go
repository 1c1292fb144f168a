package scenarios

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// powerPhrases are what befalls the power and the firmware.
var powerPhrases = []Phrase{
	{
		Kind: Then, Pattern: `the coil of {valve} stays below {temperature}`,
		Meaning: "The temperature of a coil for alternating current. To spare: how far below it stayed at its hottest.",
		Example: `the coil of "lawn" stays below 130 °C`,
		compile: func(c *compiler, a args) {
			if c.needAlternating(a.text(0)) {
				c.hold(always(signal.Valve(a.text(0)).Temperature(), outcome.AtMost, a.si(1)))
			}
		},
	},
}
