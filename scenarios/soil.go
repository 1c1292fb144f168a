package scenarios

import (
	"slices"

	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// soilPhrases are what befalls moisture probes, and what becomes of beds.
var soilPhrases = []Phrase{
	{
		Kind: Given | When, Timed: true, Pattern: `the probe {probe} is unplugged{for}`,
		Meaning: "Nothing drives the analogue input of the probe.",
		Example: `the probe "bed-probe" is unplugged`,
		compile: func(c *compiler, a args) { c.befall("probe.unplugged", a.text(0), nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the plug of {probe} corrodes to {resistance}{for}`,
		Meaning: "So much resistance lies between the probe and its input.",
		Example: `the plug of "bed-probe" corrodes to 50 kohm`,
		compile: func(c *compiler, a args) {
			c.befall("probe.corroded-plug", a.text(0), map[string]float64{"resistance": a.si(1)}, a)
		},
	},
	{
		Kind: Then, Pattern: `the soil of {bed} stays above {share} water`,
		Meaning: "The water content of the root zone, by volume. To spare: how far above it stayed at its lowest.",
		Example: `the soil of "bed" stays above 15 % water`,
		compile: func(c *compiler, a args) {
			c.needBed(a.text(0))
			c.couldFail(a.si(1) > 0, "a soil never holds less than nothing")
			c.hold(always(a, "moisture", outcome.AtLeast))
		},
	},
	{
		Kind: Then, Pattern: `the soil of {bed} stays below {share} water`,
		Meaning: "The water content of the root zone, by volume. To spare: how far below it stayed at its highest.",
		Example: `the soil of "bed" stays below 40 % water`,
		compile: func(c *compiler, a args) {
			if b := c.bed(a.text(0)); b != nil {
				c.couldFail(a.si(1) < b.Saturation.SI, "the soil is saturated at "+quantity.Format(b.Saturation.SI, quantity.Fraction))
			}
			c.hold(always(a, "moisture", outcome.AtMost))
		},
	},
	{
		Kind: Then, Pattern: `the soil of {bed} reaches {share} water {within}`,
		Meaning: "The water content of the root zone, by volume, is at least that at some moment until then. To spare: how much later it could have come.",
		Example: `the soil of "bed" reaches 28 % water within 3 h of the soil of "bed" drying to 23 % water`,
		compile: func(c *compiler, a args) {
			c.needBed(a.text(0))
			c.meet(a, becomes(a, "moisture", outcome.AtLeast))
		},
	},
	{
		Kind: Then, Pattern: `at most {volume} drains/drain from {bed}`,
		Meaning: "What passes below the roots or runs off. To spare: how much more it could have been.",
		Example: `at most 10 L drain from "bed"`,
		compile: func(c *compiler, a args) { c.hold(outcome.RiseAtMost(a.text(1)+".lost", a.si(0))) },
	},
}

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
