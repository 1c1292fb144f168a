package scenarios

import "ullage/harness"

// voltagePhrases are what the voltage does besides staying away.
var voltagePhrases = []Phrase{
	{
		Kind: When, Timed: true, Pattern: `the supply dips to {share} for {duration}`,
		Meaning: "The voltage is this share of what it should be, for no longer than 5 s.",
		Example: `the supply dips to 40 % for 200 ms`,
		compile: func(c *compiler, a args) {
			a.window = a.span(1)
			c.befall("power.dip", harness.PowerName, map[string]float64{"share": a.si(0), "length": a.si(1)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `the supply voltage sags to {share} over {duration}{for}`,
		Meaning: "The voltage falls evenly to this share of what it should be, and is back at once when the time is over.",
		Example: `the supply voltage sags to 50 % over 5 min for 20 min`,
		compile: func(c *compiler, a args) {
			c.befall("power.brown-out-ramp", harness.PowerName, map[string]float64{"share": a.si(0), "over": a.si(1)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `the power comes and goes, {duration} away and {duration} back, for {duration}`,
		Meaning: "The power is away and back, over and over, but not more than a thousand times.",
		Example: `the power comes and goes, 500 ms away and 2 s back, for 1 min`,
		compile: func(c *compiler, a args) {
			a.window = a.span(2)
			c.befall("power.cycling", harness.PowerName, map[string]float64{"away": a.si(0), "back": a.si(1)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `everything is due at once after {duration} without power`,
		Meaning: "The power is away for so long; whatever fell due meanwhile is due when it returns.",
		Example: `everything is due at once after 12 h without power`,
		compile: func(c *compiler, a args) {
			a.window = a.span(0)
			c.befall("power.all-due", harness.PowerName, map[string]float64{"outage": a.si(0)}, a)
		},
	},
}
