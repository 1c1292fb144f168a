package phrases

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// powerPhrases judge coils.
var powerPhrases = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `the coil of {valve} stays below {temperature}`,
		Meaning: "The temperature of the coil of a spring-return valve. Margin: how far below it stayed at its hottest.",
		Example: `the coil of "lawn" stays below 130 °C`,
		Compile: func(c *language.Compiler, a language.Args) {
			if c.NeedWinding(a.Text(0)) {
				c.Hold(always(signal.Valve(a.Text(0)).Temperature(), outcome.AtMost, a.SI(1)))
			}
		},
	},
}
