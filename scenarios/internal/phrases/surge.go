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
		Meaning: "The highest pressure before it, the standing pressure included, each time that it or another valve on the same pipes " +
			"shuts, a pump before them stops or a surge comes from the street. Margin: how far below it stayed. Not recorded when something " +
			"happens whose surge is not computed, or nothing of which one is.",
		Example: `the surge at "top-up" stays below 10 bar`,
		Compile: func(c *language.Compiler, a language.Args) {
			if c.NeedWall(a.Text(0)) {
				valve := signal.Valve(a.Text(0))
				c.Hold(computed(valve, always(valve.Surge(), outcome.AtMost, a.SI(1))))
			}
		},
	},
	{
		Kind: feature.Then, Pattern: `no column separation occurs at {valve}`, Formerly: []string{`the water never parts at {valve}`},
		Meaning: "No wave brings the pressure before the valve, or in the pipe that leads to it, down to that of vapour. Not recorded " +
			"as with the surge at a valve.",
		Example: `no column separation occurs at "sprays"`,
		Compile: func(c *language.Compiler, a language.Args) {
			if c.NeedWall(a.Text(0)) {
				valve := signal.Valve(a.Text(0))
				c.Hold(computed(valve, outcome.Never(isOn(valve.Parted()))))
			}
		},
	},
}

// computed takes back what held of surges that were not computed.
func computed(valve signal.Valve, of outcome.Property) outcome.Property {
	return outcome.Figured(of, valve.Surge(), valve.SurgeMissed(), func(figure float64) string {
		if figure == signal.PumpStopUnknown {
			return "a pump stopped, and the site file does not say how it runs down (stops-in) or how soon the non-return " +
				"valve behind it shuts (shuts-after)"
		}
		return "flow and pressure changed at once, by something that is no valve of the site: a burst, ice, a tap, a pump " +
			"that lost its water"
	})
}
