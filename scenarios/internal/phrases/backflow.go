package phrases

import (
	"fmt"
	"slices"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// drop is what counts as no water, m³: a millilitre.
const drop = 1e-6

// backflowOutcomes judge what runs back.
var backflowOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `no water flows back into the supply {supply}`,
		Meaning: "Less than a millilitre runs back.",
		Example: `no water flows back into the supply "mains"`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(riseAtMost(signal.Supply(a.Text(0)).Returned(), drop))
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {volume} flows/flow back into the supply {supply}`,
		Meaning: "What runs back into the mains. Margin: how much more it could have been.",
		Example: `at most 0.5 L flows back into the supply "mains"`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(riseAtMost(signal.Supply(a.Text(1)).Returned(), a.SI(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {volume} flows/flow back into the supply {supply} as water of category {count}`,
		Meaning: "What runs back into the mains while water of this fluid category, and none worse, is drawn out of tanks. Margin: how much more it could have been.",
		Example: `at most 0.5 L flows back into the supply "mains" as water of category 4`,
		Compile: func(c *language.Compiler, a language.Args) {
			category := int(a.SI(2))
			if c.Site != nil {
				if behind := c.Site.CategoriesBehind(a.Text(1)); !slices.Contains(behind, category) {
					c.Problem(a.Text(2), fmt.Sprintf("a category of water that can come back into %q %v", a.Text(1),
						behind))
				}
			}
			c.Hold(riseAtMost(signal.Supply(a.Text(1)).ReturnedOf(sitefile.CategoryName(category)), a.SI(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {volume} is/are back-siphoned out of {tank}`,
		Formerly: []string{`at most {volume} is/are sucked out of {tank}`},
		Meaning:  "What leaves the tank through outlets that dip into it. Margin: how much more it could have been.",
		Example:  `at most 2 L are back-siphoned out of "barrel"`,
		Compile: func(c *language.Compiler, a language.Args) {
			dips := func(o sitefile.Outlet) bool { return o.Into == a.Text(1) && o.Dips.IsSet() }
			if c.Site != nil && !slices.ContainsFunc(c.Site.Outlets, dips) {
				c.Fail("no outlet dips into the tank %q", a.Text(1))
			}
			c.Hold(riseAtMost(signal.Tank(a.Text(1)).BackSiphoned(), a.SI(0)))
		},
	},
}
