package scenarios

import (
	"slices"

	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

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

// needAlternating demands a valve whose coil is for alternating current.
func (c *compiler) needAlternating(name string) bool {
	v := c.valve(name)
	if v != nil && v.Current != "ac" {
		c.fail("no temperature is computed of the coil of %q; expected a valve with current: ac", name)
	}
	return v != nil && v.Current == "ac"
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
