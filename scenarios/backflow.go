package scenarios

import (
	"fmt"
	"slices"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// drop is what counts as no water, m³: a millilitre.
const drop = 1e-6

// backflowOutcomes judge what runs back.
var backflowOutcomes = []Phrase{
	{
		Kind: Then, Pattern: `no water flows back into the supply {supply}`,
		Meaning: "Less than a millilitre runs back.",
		Example: `no water flows back into the supply "mains"`,
		compile: func(c *compiler, a args) { c.hold(riseAtMost(signal.Supply(a.text(0)).Returned(), drop)) },
	},
	{
		Kind: Then, Pattern: `at most {volume} flows/flow back into the supply {supply}`,
		Meaning: "What runs back into the mains. To spare: how much more it could have been.",
		Example: `at most 0.5 L flows back into the supply "mains"`,
		compile: func(c *compiler, a args) { c.hold(riseAtMost(signal.Supply(a.text(1)).Returned(), a.si(0))) },
	},
	{
		Kind: Then, Pattern: `at most {volume} flows/flow back into the supply {supply} as water of category {count}`,
		Meaning: "What runs back into the mains while water of this fluid category, and none worse, is drawn out of tanks. To spare: how much more it could have been.",
		Example: `at most 0.5 L flows back into the supply "mains" as water of category 4`,
		compile: func(c *compiler, a args) {
			category := int(a.si(2))
			if c.site != nil {
				if behind := c.site.CategoriesBehind(a.text(1)); !slices.Contains(behind, category) {
					c.problem(a.text(2), fmt.Sprintf("a category of water that can come back into %q %v", a.text(1), behind))
				}
			}
			c.hold(riseAtMost(signal.Supply(a.text(1)).ReturnedOf(sitefile.CategoryName(category)), a.si(0)))
		},
	},
	{
		Kind: Then, Pattern: `at most {volume} is/are sucked out of {tank}`,
		Meaning: "What leaves the tank through outlets that dip into it. To spare: how much more it could have been.",
		Example: `at most 2 L are sucked out of "barrel"`,
		compile: func(c *compiler, a args) {
			dips := func(o sitefile.Outlet) bool { return o.Into == a.text(1) && o.Dips.IsSet() }
			if c.site != nil && !slices.ContainsFunc(c.site.Outlets, dips) {
				c.fail("no outlet dips into the tank %q", a.text(1))
			}
			c.hold(riseAtMost(signal.Tank(a.text(1)).Sucked(), a.si(0)))
		},
	},
}
