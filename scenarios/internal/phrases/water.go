package phrases

import (
	"fmt"
	"math"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// waterPhrases are what people and weather do with the water of tanks.
var waterPhrases = []language.Phrase{
	{
		Kind: feature.Given | feature.When, Timed: true, Pattern: `{volume} is/are drawn from {tank} within {duration}`,
		Meaning: "Somebody takes so much out of the tank, evenly over that time.",
		Example: `150 L are drawn from "header-tank" within 2 minutes`,
		Compile: func(c *language.Compiler, a language.Args) { move(c, "draw", a.Text(1), a.SI(0), a.Span(2), a) },
	},
	{
		Kind: feature.Given | feature.When, Timed: true, Pattern: `a tap draws {flow} from {tank} for {duration}`,
		Meaning: "Somebody opens a tap at the tank and lets so much run, as into cans, for so long.",
		Example: `a tap draws 10 L/min from "header-tank" for 3 min`,
		Compile: func(c *language.Compiler, a language.Args) {
			move(c, "draw", a.Text(1), a.SI(0)*a.Span(2).Seconds(), a.Span(2), a)
		},
	},
	{
		Kind: feature.Given | feature.When, Timed: true, Pattern: `rain brings {volume} into {tank} within {duration}`,
		Meaning: "So much runs into the tank from outside the pipes, evenly over that time.",
		Example: `rain brings 300 L into "cistern" within 1 hour`,
		Compile: func(c *language.Compiler, a language.Args) { move(c, "inflow", a.Text(1), a.SI(0), a.Span(2), a) },
	},
	{
		Kind: feature.Given | feature.When, Timed: true, Pattern: `{length} of rain falls/fall on the catchment of {tank} within {duration}`,
		Meaning: "Rain depth, evenly over that time; the tank gets what runs off its catchment.",
		Example: `20 mm of rain fall on the catchment of "sump" within 1 hour`,
		Compile: func(c *language.Compiler, a language.Args) { rain(c, a.SI(0), a.Text(1), a.Span(2), a) },
	},
}

// rain lets so much rain fall on the catchment of a tank.
func rain(c *language.Compiler, depth float64, tank string, length signal.Time, a language.Args) {
	t := c.Tank(tank)
	switch {
	case t == nil:
	case !t.Catchment.IsSet():
		c.Fail("the tank %q has no catchment", tank)
	default:
		move(c, "inflow", tank, depth*t.Catchment.SI*t.Runoff.SI, length, a)
	}
}

// fastest is the greatest flow that anyone takes out of a tank or pours into it, in m³/s.
const fastest = 0.1

// move takes water out of a tank or brings it in.
func move(c *language.Compiler, knob, tank string, volume float64, length signal.Time, a language.Args) {
	flow := volume / length.Seconds()
	if flow > fastest {
		c.Problem(fmt.Sprintf("%s within %s", quantity.Format(volume, quantity.Volume),
			quantity.Format(length.Seconds(), quantity.Duration)),
			"at most "+quantity.Format(fastest, quantity.Flow))
		return
	}
	c.Happen(harness.Act{Mark: knob + " " + tank, Target: tank, Turns: language.Turn(tank, knob, flow, length)}, a)
}

// levelOutcomes judge the water in tanks.
var levelOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `the level in {tank} stays below {length}`,
		Meaning: "Margin: how far below it stayed at its highest.",
		Example: `the level in "header-tank" stays below 800 mm`,
		Compile: func(c *language.Compiler, a language.Args) {
			if t := c.Tank(a.Text(0)); t != nil {
				c.CouldFail(a.SI(1) <= t.Rim.SI, "the rim is at "+quantity.Format(t.Rim.SI,
					quantity.Length)+", and more water runs over it")
			}
			c.Hold(always(signal.Tank(a.Text(0)).Level(), outcome.AtMost, a.SI(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the level in {tank} stays above {length}`,
		Meaning: "Margin: how far above it stayed at its lowest.",
		Example: `the level in "header-tank" stays above 100 mm`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.CouldFail(a.SI(1) > 0, "a level is never below the floor")
			c.Hold(always(signal.Tank(a.Text(0)).Level(), outcome.AtLeast, a.SI(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the level in {tank} rises to {length} {within}`,
		Meaning: "Margin: how much later it could have come.",
		Example: `the level in "header-tank" rises to 600 mm within 30 min`,
		Compile: func(c *language.Compiler, a language.Args) {
			if t := c.Tank(a.Text(0)); t != nil {
				c.CouldHold(a.SI(1) <= t.Rim.SI, "the rim is at "+quantity.Format(t.Rim.SI, quantity.Length))
			}
			c.Meet(a, becomes(is(signal.Tank(a.Text(0)).Level(), outcome.AtLeast, a.SI(1))))
		},
	},
	{
		Kind: feature.Then, Pattern: `no water goes over the rim of {tank}`,
		Meaning: "The level stays below the rim. Margin: the room left up to the rim, the ullage.",
		Example: `no water goes over the rim of "header-tank"`,
		Compile: func(c *language.Compiler, a language.Args) {
			if t := c.Tank(a.Text(0)); t != nil {
				c.Hold(always(signal.Tank(t.Name).Level(), outcome.AtMost, t.Rim.SI))
			}
		},
	},
	{
		Kind: feature.Then, Pattern: `no water reaches the overflow of {tank}`,
		Meaning: "The level stays below the crest of the lowest overflow. Margin: the room left up to the crest.",
		Example: `no water reaches the overflow of "header-tank"`,
		Compile: func(c *language.Compiler, a language.Args) {
			t := c.Tank(a.Text(0))
			switch {
			case t == nil:
			case math.IsInf(t.Overflow(), 1):
				c.Fail("the tank %q has neither standpipe nor side-outlet nor weir", a.Text(0))
			default:
				c.Hold(always(signal.Tank(t.Name).Level(), outcome.AtMost, t.Overflow()))
			}
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {volume} runs/run away through the overflow of {tank}`,
		Meaning: "What standpipe, side outlet and weir carry away. Margin: how much more it could have been.",
		Example: `at most 20 L run away through the overflow of "header-tank"`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(riseAtMost(signal.Tank(a.Text(1)).Overflowed(), a.SI(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {volume} runs/run over the rim of {tank}`,
		Meaning: "What goes over the rim. Margin: how much more it could have been.",
		Example: `at most 2 L run over the rim of "header-tank"`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(riseAtMost(signal.Tank(a.Text(1)).Spilled(), a.SI(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {volume} is/are lost`,
		Meaning: "Water that ends neither in a root zone nor in a tank. Margin: how much more it could have been.",
		Example: `at most 20 L are lost`,
		Compile: func(c *language.Compiler, a language.Args) { c.Hold(riseAtMost(signal.Site.Lost(), a.SI(0))) },
	},
}

// still is a flow that counts as none, m³/s: a tenth of a litre a minute.
const still = 0.1e-3 / 60

// flowOutcomes judge pressure and flow in the pipes.
var flowOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `the pressure at {place} stays above {pressure}`,
		Meaning: "At the outlet of the part, of a valve at its inlet. Margin: how far above it stayed at its lowest.",
		Example: `the pressure at "mains" stays above 1 bar`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.CouldFail(a.SI(1) > 0, "where no water stands the pressure is 0 bar")
			c.Hold(always(signal.Part(a.Text(0)).Pressure(), outcome.AtLeast, a.SI(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the pressure at {place} stays below {pressure}`,
		Meaning: "At the outlet of the part, of a valve at its inlet. Margin: how far below it stayed at its highest.",
		Example: `the pressure at "drip header" stays below 1.5 bar`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(always(signal.Part(a.Text(0)).Pressure(), outcome.AtMost, a.SI(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the water through {meter} stops {within}`,
		Meaning: "Less than a tenth of a litre a minute passes the meter by then. Margin: how much later it could have come.",
		Example: `the water through "meter" stops within 10 s of "tank-spill" operating`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Meet(a, settles(is(signal.Meter(a.Text(0)).Flow(), outcome.AtMost, still)))
		},
	},
	{
		Kind: feature.Then, Pattern: `at most {volume} runs/run through {meter}`,
		Meaning: "What passes the meter. Margin: how much more it could have been.",
		Example: `at most 300 L run through "meter"`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(riseAtMost(signal.Meter(a.Text(1)).Volume(), a.SI(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `at least {volume} runs/run through {meter}`,
		Meaning: "What passes the meter. Margin: how much less it could have been.",
		Example: `at least 100 L run through "meter"`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.CouldFail(a.SI(0) > 0, "no meter runs backwards")
			c.Hold(outcome.RiseAtLeast(signal.Meter(a.Text(1)).Volume().Name(), a.SI(0)))
		},
	},
}
