package scenarios

import "ullage/harness"

// diaphragmPhrases are what befalls the moving parts of a valve, how it was fitted, and the output that feeds its coil.
var diaphragmPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `grit holds the pilot of the valve {valve} open{for}`,
		Meaning: "Once its plunger has been lifted it does not come back, and the valve stays as open as it is with the coil on.",
		Example: `grit holds the pilot of the valve "top-up" open`,
		compile: func(c *compiler, a args) {
			if c.needPlunger(a.text(0)) {
				c.befall("valve.pilot-grit", a.text(0), nil, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the diaphragm of the valve {valve} is torn{for}`,
		Meaning: "A pilot-operated valve takes 1.5 bar to come home, and home it lets by 5 % of its Kv.",
		Example: `the diaphragm of the valve "top-up" is torn`,
		compile: func(c *compiler, a args) {
			if c.needPilot(a.text(0)) {
				c.befall("valve.diaphragm-torn", a.text(0), nil, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the valve {valve} is fitted backwards{for}`,
		Meaning: "The water lifts the diaphragm of a pilot-operated valve whenever there is pressure before it, whatever the coil does.",
		Example: `the valve "top-up" is fitted backwards`,
		compile: func(c *compiler, a args) {
			if c.needPilot(a.text(0)) {
				c.befall("valve.backwards", a.text(0), nil, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `somebody leaves the bleed of the valve {valve} open{for}`,
		Meaning: "The valve is open whatever its coil does.",
		Example: `somebody leaves the bleed of the valve "top-up" open`,
		compile: func(c *compiler, a args) {
			if c.needPlunger(a.text(0)) {
				c.befall("valve.bleed-open", a.text(0), nil, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `debris holds the valve {valve} open by {share} at its next {count} stroke(s){for}`,
		Meaning: "So often its disc comes down on debris and stays open as far; then the water has carried it away.",
		Example: `debris holds the valve "top-up" open by 10 % at its next 2 strokes`,
		compile: func(c *compiler, a args) {
			c.befall("valve.debris", a.text(0), map[string]float64{"opening": a.si(1), "strokes": a.si(2)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the output of the valve {valve} fails on{for}`,
		Meaning: "Its coil or motor has current whatever the controller asks. The output of a latching valve cannot fail so.",
		Example: `the output of the valve "top-up" fails on`,
		compile: func(c *compiler, a args) {
			if c.needSwitch(a.text(0)) {
				c.befall("output.failed-on", a.text(0), nil, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the output of the valve {valve} fails off{for}`,
		Meaning: "Its coil or motor has no current whatever the controller asks.",
		Example: `the output of the valve "sprays" fails off`,
		compile: func(c *compiler, a args) {
			if c.needSwitch(a.text(0)) {
				c.befall("output.failed-off", a.text(0), nil, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the common wire of the coils breaks{for}`,
		Meaning: "No coil and no contactor has current, whatever the outputs do.",
		Example: `the common wire of the coils breaks`,
		compile: func(c *compiler, a args) { c.befall("coil.common-open", harness.PowerName, nil, a) },
	},
}
