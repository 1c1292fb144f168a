package scenarios

// contactPhrases are what befalls float switches, their wires and the water under them.
var contactPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `the contact {contact} bounces for {duration} with {count} edges at each change{for}`,
		Meaning: "At each change of the float the contact opens and closes so often within that time, before it rests.",
		Example: `the contact "tank-high" bounces for 157 ms with 20 edges at each change`,
		compile: func(c *compiler, a args) {
			c.befall("contact.bounce", a.text(0), map[string]float64{"bounce time": a.si(1), "bounce edges": a.si(2)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the float of {contact} jams operated{for}`,
		Meaning: "The contact is operated whatever the level is.",
		Example: `the float of "tank-low" jams operated`,
		compile: func(c *compiler, a args) { c.befall("contact.jammed-operated", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the float of {contact} jams released{for}`,
		Meaning: "The contact is released whatever the level is.",
		Example: `the float of "tank-high" jams released`,
		compile: func(c *compiler, a args) { c.befall("contact.jammed-released", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the lead of {contact} breaks{for}`,
		Meaning: "The terminal of the contact sees an open circuit.",
		Example: `the lead of "tank-spill" breaks`,
		compile: func(c *compiler, a args) { c.befall("contact.broken-lead", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the contact {contact} corrodes to {resistance}{for}`,
		Meaning: "So much resistance is in its circuit while it is closed.",
		Example: `the contact "tank-high" corrodes to 5 kohm`,
		compile: func(c *compiler, a args) {
			c.befall("contact.corroded", a.text(0), map[string]float64{"resistance": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `water in a connector leaks {resistance} across {contact}{for}`,
		Meaning: "So much resistance lies between the two wires of the contact, whatever it does.",
		Example: `water in a connector leaks 1 kohm across "tank-low"`,
		compile: func(c *compiler, a args) {
			c.befall("contact.wet-connector", a.text(1), map[string]float64{"resistance": a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the wires of {contact} touch{for}`,
		Meaning: "The terminal of the contact sees a closed circuit.",
		Example: `the wires of "tank-low" touch`,
		compile: func(c *compiler, a args) { c.befall("contact.shorted", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the return of {contact} shares {resistance} with the coils{for}`,
		Meaning: "The current of every coil that is on passes so much resistance on its way back, and lifts the return of the contact.",
		Example: `the return of "tank-high" shares 3.5 ohm with the coils`,
		compile: func(c *compiler, a args) {
			c.befall("contact.lifted-return", a.text(0), map[string]float64{"resistance": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the water in {tank} swings by {length} while it fills{for}`,
		Meaning: "While its inlets run, crests at the wall grow to so much above still water; floats near their levels follow each wave.",
		Example: `the water in "header-tank" swings by 20 mm while it fills`,
		compile: func(c *compiler, a args) {
			if c.needInlet(a.text(0)) {
				c.befall("tank.slosh", a.text(0), map[string]float64{"height": a.si(1)}, a)
			}
		},
	},
}
