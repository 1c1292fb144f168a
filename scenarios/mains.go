package scenarios

// mainsPhrases are what the street does to the pressure and frost to a pipe.
var mainsPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `the supply {supply} falls to {share} of its pressure within {duration}{for}`,
		Meaning: "Static and residual pressure fall to this share in a hundred small steps, and stay there.",
		Example: `the supply "mains" falls to 30 % of its pressure within 30 min`,
		compile: func(c *compiler, a args) {
			c.befall("supply.pressure-ramp", a.text(0), map[string]float64{"share": a.si(1), "over": a.si(2)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `every day for {duration} the supply {supply} falls to {share} of its pressure`,
		Meaning: "Static and residual pressure fall to this share for so long, and again 24 h after they fell.",
		Example: `every day for 2 h the supply "mains" falls to 30 % of its pressure`,
		compile: func(c *compiler, a args) {
			c.befall("supply.pressure-daily", a.text(1), map[string]float64{"share": a.si(2), "lasts": a.si(0)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `a surge of {pressure} comes through the supply {supply} for {duration}`,
		Meaning: "Static and residual pressure are higher by as much for so long.",
		Example: `a surge of 3 bar comes through the supply "mains" for 2 s`,
		compile: func(c *compiler, a args) {
			c.befall("supply.surge", a.text(1), map[string]float64{"surge": a.si(0), "lasts": a.si(2)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the supply {supply} pulses down to {share} of its pressure every {duration}{for}`,
		Meaning: "For half of each period static and residual pressure fall to this share; without an end it goes on for a day.",
		Example: `the supply "mains" pulses down to 40 % of its pressure every 30 s for 20 min`,
		compile: func(c *compiler, a args) {
			c.befall("supply.pulsing", a.text(0), map[string]float64{"share": a.si(1), "period": a.si(2)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the pipe {pipe} is frozen{for}`,
		Meaning: "No water passes it.",
		Example: `the pipe "spray line" is frozen for 3 h`,
		compile: func(c *compiler, a args) { c.befall("pipe.frozen", a.text(0), nil, a) },
	},
}

// motorPhrases are what befalls a pump, its motor and its contactor.
var motorPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `the pump {pump} does not start{for}`,
		Meaning: "Its contactor comes in and its motor stands.",
		Example: `the pump "pump" does not start`,
		compile: func(c *compiler, a args) { c.befall("pump.will-not-start", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `air is locked in the pump {pump}{for}`,
		Meaning: "It moves no water, however much stands before it, and must fill when that is over.",
		Example: `air is locked in the pump "pump" for 10 s`,
		compile: func(c *compiler, a args) { c.befall("pump.air-locked", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the pump {pump} is worn to {share} of its head{for}`,
		Meaning: "At no flow it lifts the water so much less high, and its flows fall with the square root of that.",
		Example: `the pump "pump" is worn to 60 % of its head`,
		compile: func(c *compiler, a args) {
			c.befall("pump.worn", a.text(0), map[string]float64{"share": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the contactor of the pump {pump} welds{for}`,
		Meaning: "Once it is in it does not come out, whatever its coil does.",
		Example: `the contactor of the pump "pump" welds`,
		compile: func(c *compiler, a args) { c.befall("pump.runs-on", a.text(0), nil, a) },
	},
}
