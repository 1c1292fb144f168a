package scenarios

import (
	"slices"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// soilPhrases are what befalls moisture probes, and what becomes of beds.
var soilPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `{length} of rain falls/fall on {bed} within {duration}`,
		Meaning: "So much rain falls evenly over that time.",
		Example: `15 mm of rain falls on "bed" within 2 hours`,
		compile: func(c *compiler, a args) {
			bed, rate := a.text(1), a.si(0)/a.span(2).Seconds()
			if rate > heaviestRain {
				c.problem(quantity.Format(a.si(0), quantity.Length)+" within "+quantity.Format(a.span(2).Seconds(), quantity.Duration),
					"at most "+quantity.Format(heaviestRain, quantity.Depth))
				return
			}
			c.happen(harness.Act{Mark: "rain " + bed, Target: bed, Turns: turn(bed, "rain", rate, a.span(2))}, a)
		},
	},
	{
		Kind: Then, Pattern: `the soil of {bed} stays above {share} water`,
		Meaning: "The water content of the root zone, by volume. To spare: how far above it stayed at its lowest.",
		Example: `the soil of "bed" stays above 15 % water`,
		compile: func(c *compiler, a args) {
			c.needBed(a.text(0))
			c.couldFail(a.si(1) > 0, "a soil never holds less than nothing")
			c.hold(always(signal.Bed(a.text(0)).Moisture(), outcome.AtLeast, a.si(1)))
		},
	},
	{
		Kind: Then, Pattern: `the soil of {bed} stays below {share} water`,
		Meaning: "The water content of the root zone, by volume. To spare: how far below it stayed at its highest.",
		Example: `the soil of "bed" stays below 40 % water`,
		compile: func(c *compiler, a args) {
			if b := c.bed(a.text(0)); b != nil {
				full := b.Ground().Saturation.SI
				c.couldFail(a.si(1) < full, "the soil is saturated at "+quantity.Format(full, quantity.Fraction))
			}
			c.hold(always(signal.Bed(a.text(0)).Moisture(), outcome.AtMost, a.si(1)))
		},
	},
	{
		Kind: Then, Pattern: `the soil of {bed} reaches {share} water {within}`,
		Meaning: "The water content of the root zone, by volume, is at least that at some moment until then. To spare: how much later it could have come.",
		Example: `the soil of "bed" reaches 28 % water within 3 h of the soil of "bed" drying to 23 % water`,
		compile: func(c *compiler, a args) {
			c.needBed(a.text(0))
			c.meet(a, becomes(is(signal.Bed(a.text(0)).Moisture(), outcome.AtLeast, a.si(1))))
		},
	},
	{
		Kind: Then, Pattern: `at most {volume} drains/drain from {bed}`,
		Meaning: "What passes below the roots or runs off. To spare: how much more it could have been.",
		Example: `at most 10 L drain from "bed"`,
		compile: func(c *compiler, a args) { c.hold(riseAtMost(signal.Bed(a.text(1)).Lost(), a.si(0))) },
	},
}

// heaviestRain is the greatest rate that a bed is asked to take, m/s: 3.6 m an hour, beyond any cloudburst.
const heaviestRain = 1e-3

// bed finds a bed of the site; nil when it has none of that name, which has been said already.
func (c *compiler) bed(name string) *sitefile.Bed {
	if c.site == nil {
		return nil
	}
	if i := slices.IndexFunc(c.site.Beds, func(b sitefile.Bed) bool { return b.Name == name }); i >= 0 {
		return &c.site.Beds[i]
	}
	return nil
}
