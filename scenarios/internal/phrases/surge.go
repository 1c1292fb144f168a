package phrases

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// surgeOutcomes judge what a valve that shuts does to the pipe before it.
var surgeOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `the surge at {valve} stays below {pressure}`,
		Meaning: "The highest pressure at its inlet each time it shuts, the standing pressure included. Margin: how far below it stayed.",
		Example: `the surge at "top-up" stays below 10 bar`,
		Compile: func(c *language.Compiler, a language.Args) {
			if c.NeedWall(a.Text(0)) {
				c.Hold(always(signal.Valve(a.Text(0)).Surge(), outcome.AtMost, a.SI(1)))
			}
		},
	},
	{
		Kind: feature.Then, Pattern: `no column separation occurs at {valve}`, Formerly: []string{`the water never parts at {valve}`},
		Meaning: "When the valve shuts, the wave that returns does not bring the pressure down to that of vapour.",
		Example: `no column separation occurs at "sprays"`,
		Compile: func(c *language.Compiler, a language.Args) {
			if c.NeedWall(a.Text(0)) {
				c.Hold(outcome.Never(isOn(signal.Valve(a.Text(0)).Parted())))
			}
		},
	},
}
