package scenarios

// floatPhrases are what befalls the float of a contact and how it was wired.
var floatPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `the float of {contact} hangs for a further {length}{for}`,
		Meaning: "It comes free only when the water has risen, or fallen, by so much more than it should need to.",
		Example: `the float of "tank-high" hangs for a further 60 mm`,
		compile: func(c *compiler, a args) {
			c.befall("contact.hung", a.text(0), map[string]float64{"further": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the float of {contact} has taken water and lies {length} deeper{for}`,
		Meaning: "It operates and releases at a level that is higher by so much.",
		Example: `the float of "tank-high" has taken water and lies 60 mm deeper`,
		compile: func(c *compiler, a args) {
			c.befall("contact.waterlogged", a.text(0), map[string]float64{"deeper": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the contact {contact} is normally closed in the place of normally open, or the other way round{for}`,
		Meaning: "Its terminal sees it closed where it should be open, and open where it should be closed.",
		Example: `the contact "tank-high" is normally closed in the place of normally open, or the other way round`,
		compile: func(c *compiler, a args) { c.befall("contact.inverted", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the lead of {contact} is exchanged with that of the next contact{for}`,
		Meaning: "Its terminal sees the contact of the next contact terminal of the board, after the last the first, and the other way round.",
		Example: `the lead of "tank-low" is exchanged with that of the next contact`,
		compile: func(c *compiler, a args) {
			if c.needNextContact(a.text(0)) {
				c.befall("contact.leads-exchanged", a.text(0), nil, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the coils kick into the lead of {contact} through {resistance}{for}`,
		Meaning: "As an output lets go of a coil, its wire goes to -40 V for as long as its current takes to die away, and pulls at the wire of the contact through so much resistance.",
		Example: `the coils kick into the lead of "tank-low" through 22 kohm`,
		compile: func(c *compiler, a args) {
			c.befall("contact.coil-kick", a.text(0), map[string]float64{"coupling": a.si(1)}, a)
		},
	},
}
