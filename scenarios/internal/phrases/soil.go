package phrases

import (
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// soilPhrases are rain, and what becomes of beds.
var soilPhrases = []language.Phrase{
	{
		Kind: feature.Given | feature.When, Timed: true, Pattern: `{length} of rain falls/fall on {bed} within {duration}`,
		Meaning: "So much rain falls evenly over that time.",
		Example: `15 mm of rain falls on "bed" within 2 hours`,
		Compile: func(c *language.Compiler, a language.Args) {
			bed, rate := a.Text(1), a.SI(0)/a.Span(2).Seconds()
			if rate > heaviestRain {
				c.Problem(quantity.Format(a.SI(0), quantity.Length)+" within "+quantity.Format(a.Span(2).Seconds(),
					quantity.Duration),
					"at most "+quantity.Format(heaviestRain, quantity.Depth))
				return
			}
			c.Happen(harness.Act{Mark: "rain " + bed, Target: bed, Turns: language.Turn(bed, "rain", rate, a.Span(2))},
				a)
		},
	},
	{
		Kind: feature.Then, Pattern: `the soil of {bed} stays above {share} water`,
		Meaning: "The water content of the root zone, by volume. Margin: how far above it stayed at its lowest.",
		Example: `the soil of "bed" stays above 15 % water`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.NeedBed(a.Text(0))
			c.CouldFail(a.SI(1) > 0, "a soil never holds less than nothing")
			c.Hold(always(signal.Bed(a.Text(0)).Moisture(), outcome.AtLeast, a.SI(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the soil of {bed} stays below {share} water`,
		Meaning: "The water content of the root zone, by volume. Margin: how far below it stayed at its highest.",
		Example: `the soil of "bed" stays below 40 % water`,
		Compile: func(c *language.Compiler, a language.Args) {
			if b := c.Bed(a.Text(0)); b != nil {
				full := b.Ground().Saturation.SI
				c.CouldFail(a.SI(1) < full, "the soil is saturated at "+quantity.Format(full, quantity.Fraction))
			}
			c.Hold(always(signal.Bed(a.Text(0)).Moisture(), outcome.AtMost, a.SI(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the soil of {bed} reaches {share} water {within}`,
		Meaning: "The water content of the root zone, by volume, is at least that at some moment until then. Margin: how much later it could have come.",
		Example: `the soil of "bed" reaches 28 % water within 3 h of the soil of "bed" drying to 23 % water`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.NeedBed(a.Text(0))
			if b := c.Bed(a.Text(0)); b != nil {
				full := b.Ground().Saturation.SI
				c.CouldHold(a.SI(1) <= full, "the soil is saturated at "+quantity.Format(full, quantity.Fraction))
			}
			c.Meet(a, becomes(is(signal.Bed(a.Text(0)).Moisture(), outcome.AtLeast, a.SI(1))))
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {volume} drains/drain from {bed}`,
		Meaning: "What passes below the roots or runs off. Margin: how much more it could have been.",
		Example: `at most 10 L drain from "bed"`,
		Compile: func(c *language.Compiler,
			a language.Args) {
			c.Hold(riseAtMost(signal.Bed(a.Text(1)).Lost(), a.SI(0)))
		},
	},
}

// heaviestRain is the greatest rate that a bed is asked to take, m/s: 3.6 m an hour, beyond any cloudburst.
const heaviestRain = 1e-3
