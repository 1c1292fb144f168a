package scenarios

import (
	"ullage/harness/outcome"
	"ullage/harness/sitefile"
)

// seatPhrases are what befalls the seat, the stroke and the pilot of a valve.
var seatPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `the valve {valve} weeps {share} of its capacity{for}`,
		Meaning: "Its disc comes to its seat, and this share of its Kv passes it all the same.",
		Example: `the valve "top-up" weeps 2 % of its capacity`,
		compile: func(c *compiler, a args) {
			c.befall("valve.weeps", a.text(0), map[string]float64{"share": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the valve {valve} takes {duration} to close{for}`,
		Meaning: "Its closing stroke takes so long, in the place of what the site file says.",
		Example: `the valve "top-up" takes 8 s to close`,
		compile: func(c *compiler, a args) {
			v := c.valve(a.text(0))
			if v == nil {
				return
			}
			id, factor := "valve.closes-slowly", a.si(1)/v.Closes.SI
			if factor < 1 {
				id = "valve.slams"
			}
			c.befall(id, a.text(0), map[string]float64{"factor": factor}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the valve {valve} needs {pressure} to seat{for}`,
		Meaning: "The diaphragm of a pilot-operated valve comes home with this differential at the least.",
		Example: `the valve "top-up" needs 4 bar to seat`,
		compile: func(c *compiler, a args) {
			if c.needPilot(a.text(0)) {
				c.befall("valve.will-not-seat", a.text(0), map[string]float64{"differential": a.si(1)}, a)
			}
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the bleed of the valve {valve} is blocked{for}`,
		Meaning: "The disc of a pilot-operated valve stays where it is when its coil is off.",
		Example: `the bleed of the valve "top-up" is blocked`,
		compile: func(c *compiler, a args) {
			if c.needPilot(a.text(0)) {
				c.befall("valve.bleed-blocked", a.text(0), nil, a)
			}
		},
	},
}

// surgeOutcomes judge what a valve that shuts does to the pipe before it.
var surgeOutcomes = []Phrase{
	{
		Kind: Then, Pattern: `the surge at {valve} stays below {pressure}`,
		Meaning: "The highest pressure at its inlet each time it shuts, the standing pressure included. To spare: how far below it stayed.",
		Example: `the surge at "top-up" stays below 10 bar`,
		compile: func(c *compiler, a args) { c.hold(always(a, "surge", outcome.AtMost)) },
	},
	{
		Kind: Then, Pattern: `the water never parts at {valve}`,
		Meaning: "When it shuts, the wave that comes back does not pull the water apart.",
		Example: `the water never parts at "sprays"`,
		compile: func(c *compiler, a args) { c.hold(outcome.Never(state(a, "parted", outcome.On))) },
	},
}

// valve finds a valve of the site; nil when it has none of that name, which has been said already.
func (c *compiler) valve(name string) *sitefile.Valve {
	if c.site == nil {
		return nil
	}
	for i := range c.site.Valves {
		if c.site.Valves[i].Name == name {
			return &c.site.Valves[i]
		}
	}
	return nil
}

// needPilot demands a valve that the water moves.
func (c *compiler) needPilot(name string) bool {
	v := c.valve(name)
	if v != nil && v.Operates != sitefile.Pilot {
		c.fail("the valve %q is moved by its coil and spring and seats at any pressure; expected one with operates: pilot", name)
	}
	return v != nil && v.Operates == sitefile.Pilot
}
