package scenarios

import (
	"fmt"
	"slices"
	"strconv"

	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
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
			if factor < 0.01 || factor > 100 {
				c.problem(strconv.Quote(a.text(1)), fmt.Sprintf("a hundredth to a hundred times its stroke of %s", quantity.Format(v.Closes.SI, quantity.Duration)))
				return
			}
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
		compile: func(c *compiler, a args) {
			if c.needWall(a.text(0)) {
				c.hold(always(signal.Valve(a.text(0)).Surge(), outcome.AtMost, a.si(1)))
			}
		},
	},
	{
		Kind: Then, Pattern: `the water never parts at {valve}`,
		Meaning: "When it shuts, the wave that comes back does not pull the water apart.",
		Example: `the water never parts at "sprays"`,
		compile: func(c *compiler, a args) {
			if c.needWall(a.text(0)) {
				c.hold(outcome.Never(isOn(signal.Valve(a.text(0)).Parted())))
			}
		},
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

// needWall demands a pipe of a known wall somewhere before a valve.
func (c *compiler) needWall(valve string) bool {
	v := c.valve(valve)
	if v == nil {
		return false
	}
	if !wallBefore(c.site, v.From) {
		c.fail("no surge is computed at the valve %q, as no pipe with a material and a wall leads to it", valve)
		return false
	}
	return true
}

// wallBefore tells whether the first pipe on the way up from a part, itself included, has a wall. Tanks, supplies, pumps and
// regulators end the way.
func wallBefore(site *sitefile.Site, name string) bool {
	up := map[string]string{}
	for _, x := range site.Meters {
		up[x.Name] = x.From
	}
	for _, x := range site.BackflowPreventers {
		up[x.Name] = x.From
	}
	for _, x := range site.NonReturnValves {
		up[x.Name] = x.From
	}
	for _, x := range site.Filters {
		up[x.Name] = x.From
	}
	for _, x := range site.Valves {
		up[x.Name] = x.From
	}
	for range len(up) + 1 {
		if i := slices.IndexFunc(site.Pipes, func(p sitefile.Pipe) bool { return p.Name == name }); i >= 0 {
			return site.Pipes[i].Material != ""
		}
		name = up[name]
	}
	return false
}
