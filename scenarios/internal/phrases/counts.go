package phrases

import (
	"fmt"
	"slices"

	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// counted is something that is judged by how often it happens.
type counted struct {
	who, does string // "the valve {valve}", "opens"
	names     int    // placeholders of who
	example   string // who, with a name
	meaning   string
	event     func(*language.Compiler, language.Args) outcome.Event
	needs     func(*language.Compiler, language.Args) // what must be there for it to happen at all; nil for nothing
	elsewhere []string                                // bounds of which the phrase is declared elsewhere
}

// countedEvents are they.
var countedEvents = []counted{
	{who: `the valve {valve}`, does: "opens", names: 1, example: `the valve "top-up"`,
		meaning: "Its disc leaves its seat so often.",
		event: func(_ *language.Compiler, a language.Args) outcome.Event {
			return turnsOn(signal.Valve(a.Text(0)).Open())
		},
		needs:     func(c *language.Compiler, a language.Args) { c.NeedOutput(a.Text(0)) },
		elsewhere: []string{"at most"}},
	{who: `the pump {pump}`, does: "starts", names: 1, example: `the pump "pump"`,
		meaning: "Its contactor comes in so often.",
		event: func(_ *language.Compiler, a language.Args) outcome.Event {
			return turnsOn(signal.Pump(a.Text(0)).Running())
		},
		needs:     func(c *language.Compiler, a language.Args) { c.NeedOutput(a.Text(0)) },
		elsewhere: []string{"at most"}},
	{who: `the zone {zone}`, does: "runs", names: 1, example: `the zone "sprays"`,
		meaning: "Its valve opens, or its pump starts, so often.",
		event: func(c *language.Compiler, a language.Args) outcome.Event {
			return turnsOn(runSignal(c.Site, a.Text(0)))
		},
		needs:     func(c *language.Compiler, a language.Args) { c.NeedZone(a.Text(0)) },
		elsewhere: []string{"at most", "at least"}},
	{who: `the controller`, does: "tries to connect", example: `the controller`,
		meaning: "It asks so often for a session with the cloud, whether the access point answers or not.",
		event:   func(*language.Compiler, language.Args) outcome.Event { return turnsOn(signal.WiFi.Attempt()) }},
}

// countOutcomes are the phrases of how often something happens.
func countOutcomes() (list []language.Phrase) {
	for _, one := range countedEvents {
		if !slices.Contains(one.elsewhere, "at most") {
			list = append(list, one.atMost())
		}
		if !slices.Contains(one.elsewhere, "at least") {
			list = append(list, one.atLeast())
		}
		list = append(list, one.between(), one.exactly())
	}
	return list
}

// phrase is the phrase of a bound.
func (one counted) phrase(bound, example, margin string,
	property func(*language.Compiler, language.Args) outcome.Property) language.Phrase {
	return language.Phrase{
		Kind: feature.Then, Pattern: one.who + " " + one.does + " " + bound, Meaning: one.meaning + " " + margin,
		Example: one.example + " " + one.does + " " + example,
		Compile: func(c *language.Compiler, a language.Args) { c.Hold(property(c, a)) },
	}
}

func (one counted) atMost() language.Phrase {
	return one.phrase(`at most {count} time(s)`, "at most 4 times", "Margin: how often more it could have.",
		func(c *language.Compiler, a language.Args) outcome.Property {
			return outcome.AtMostTimes(int(a.SI(one.names)), one.event(c, a))
		})
}

func (one counted) atLeast() language.Phrase {
	return one.phrase(`at least {count} time(s)`, "at least 2 times", "Margin: how often more it did.",
		func(c *language.Compiler, a language.Args) outcome.Property {
			c.CouldFail(a.SI(one.names) > 0, "never would be enough")
			one.need(c, a)
			return outcome.AtLeastTimes(int(a.SI(one.names)), one.event(c, a))
		})
}

func (one counted) between() language.Phrase {
	return one.phrase(`between {count} and {count} times`, "between 1 and 3 times",
		"Margin: how often more or less it could have, whichever is the smaller.",
		func(c *language.Compiler, a language.Args) outcome.Property {
			return one.within(c, a, int(a.SI(one.names)), int(a.SI(one.names+1)))
		})
}

func (one counted) exactly() language.Phrase {
	return one.phrase(`exactly {count} time(s)`, "exactly 1 time", "There is no margin on either side.",
		func(c *language.Compiler, a language.Args) outcome.Property {
			n := int(a.SI(one.names))
			return one.within(c, a, n, n)
		})
}

func (one counted) within(c *language.Compiler, a language.Args, least, most int) outcome.Property {
	if most < least {
		c.Problem(fmt.Sprintf("between %d and %d times", least, most), "the smaller number first")
		least, most = most, least
	}
	if least > 0 {
		one.need(c, a)
	}
	return outcome.BetweenTimes(least, most, one.event(c, a))
}

func (one counted) need(c *language.Compiler, a language.Args) {
	if one.needs != nil {
		one.needs(c, a)
	}
}
