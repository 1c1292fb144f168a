package fault

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// backflowFaults are what makes water run back to where it came from.
var backflowFaults = []Entry{
	{
		ID: "supply.back-siphonage", Name: "back-siphonage into the supply", DeviceKind: "supply",
		Lasts: Window{Typical: 10 * signal.Minute, Worst: signal.Hour},
		Phrases: []Phrase{
			{Pattern: `the supply {supply} falls {suction} below atmospheric`,
				Formerly: []string{`the supply {supply} sucks back with {suction}`},
				Meaning:  "A main bursts downhill: the pressure at rest is so far below that of the air."},
		},
		Mechanism: "A main bursts downhill, or a fire engine draws from it: the pressure in the mains falls below " +
			"that of the air.",
		Parameters: []Parameter{
			{Name: "suction", Dim: quantity.Pressure, Default: 0.3e5, Worst: 0.9e5, Min: 0.01e5, Max: 0.9e5,
				Source: practice},
		},
		Symptoms: []string{
			"The tap hissed and drew in air.",
			"The water from the kitchen tap was green.",
			"The drinking water tastes of earth.",
			"The tap water is green, brown or smells of pond.",
			"The water in the kitchen tastes of fertiliser.",
			"The drinking water is cloudy after the mains were off, the garden hose hangs in the tank.",
			"Tank water got back into the house pipes.",
			"Water was sucked back out of the barrel through the filling hose.",
			"Brown smelly water from the tap after the street's water was off, the hose lies in the pond.",
			"The tap spat air and then dirty water.",
			"Pond water came out of the bathroom tap.",
			"The filling hose hangs under the water and the house water tastes odd.",
			"When the water was cut for works in the street the sink gave green water.",
		},
		Check: "Do not drink the water, shut the line to the garden and call the supplier at once; warn " +
			"whoever drinks from the same pipe. Then ask whether a main nearby was drained or burst at that " +
			"time, and look for a hose whose end lies under water, an air gap or a preventer that is missing.",
		Ask: "Did discoloured or smelling water come from a house tap after the mains had been off?",
		LocalEffect: "Whatever is joined to the mains is drawn towards it: air where an opening is free, water " +
			"where it is not.",
		EndEffect: "Water from a tank, a barrel or a bed comes into the drinking water.",
		Hazards:   []Hazard{Backflow, DryOut},
		course:    hold("suction", parameter("suction")),
	},
	{
		ID: "preventer.stuck-open", Name: "backflow preventer held open", DeviceKind: "backflow preventer",
		Phrases: []Phrase{
			{Pattern: `the backflow preventer {backflow preventer} sticks[ {opening}] open`,
				Formerly: []string{`dirt holds the backflow preventer {backflow preventer} open by {opening}`},
				Meaning: "It does not close against water that runs back: backwards it passes this share of what it " +
					"passes forwards, all unless one is given."},
		},
		Mechanism: "Grit or scale under its checks, or a spring that has broken: it does not close against water " +
			"that runs back.",
		Parameters: []Parameter{
			{Name: "opening", Dim: quantity.Fraction, Default: 1, Worst: 1, Min: 0.001, Max: 1,
				Source:      practice,
				WorstSource: "nothing lets more by"},
		},
		Symptoms: []string{
			"The relief of the preventer drips all the time.",
			"Nobody noticed anything.",
			"Water drips out of the bottom of the backflow preventer.",
			"The backflow device failed its yearly test.",
			"The relief port on the brass valve spits water.",
			"The brass thing with the vent by the meter dribbles.",
		},
		Check: "Look only: a relief port that drips or runs while no water is drawn says that a check does not " +
			"hold. Testing and opening a preventer is for a licensed tester with a gauge; until then shut the " +
			"stop valve before it and use nothing behind it.",
		Ask:         "Does the preventer's relief port drip or run while no water is drawn?",
		BaseRate:    Seldom,
		LocalEffect: "Backwards it passes this share of what it passes forwards; forwards it passes what it did.",
		EndEffect:   "At the next back-siphonage nothing holds the water back.",
		Hazards:     []Hazard{Backflow, SilentFailure},
		course:      hold("held open", parameter("opening")),
	},
	{
		ID: "nonreturn.stuck-open", Name: "non-return valve held open", DeviceKind: "non-return valve",
		Phrases: []Phrase{
			{Pattern: `the non-return valve {non-return valve} sticks[ {opening}] open`,
				Formerly: []string{`dirt holds the non-return valve {non-return valve} open by {opening}`},
				Meaning: "It does not close against water that runs back: backwards it passes this share of what it " +
					"passes forwards, all unless one is given."},
		},
		Mechanism: "Grit or a fibre lies under the flap, or the flap has broken off: it does not close against " +
			"water that runs back.",
		Parameters: []Parameter{
			{Name: "opening", Dim: quantity.Fraction, Default: 1, Worst: 1, Min: 0.001, Max: 1,
				Source:      practice,
				WorstSource: "nothing lets more by"},
		},
		Symptoms: []string{
			"When the pump stops, the water runs back.",
			"After the pump has stopped the hose siphons the tank empty.",
			"The pump turns backwards when it is off.",
			"The check valve does not hold, water drains back into the well.",
			"The pipe empties backwards between runs.",
			"The foot valve leaks and the pump has to start with an empty pipe.",
			"The water runs back down into the well when the pump switches off.",
			"The hose sucks the tank empty after the pump has stopped.",
		},
		Check:       "Stop the pump and listen: water that runs back, or a meter that turns without a call, is its.",
		Ask:         "Do you hear water run back when the pump stops?",
		LocalEffect: "Backwards it passes this share of what it passes forwards; forwards it passes what it did.",
		EndEffect: "A tank empties itself through a pump that stands; the pump starts far too often, and again on " +
			"an empty riser.",
		Hazards: []Hazard{Backflow, WaterWasted, DryOut},
		course:  hold("held open", parameter("opening")),
	},
	{
		ID: "pump.draws-air", Name: "pump draws air", DeviceKind: "pump", Lasts: Window{Typical: 10 * signal.Second},
		Phrases: []Phrase{
			{Pattern: `the pump {pump} draws air`,
				Meaning: "Air comes into its suction beside the water: it loses its water and must be primed when " +
					"that is over."},
		},
		Mechanism: "A joint of the suction pipe or the lid of the strainer lets air in: the pump loses its water " +
			"although there is enough before it.",
		Symptoms: []string{
			"The pump hums and nothing comes.",
			"I have to fill the pump by hand every spring.",
			"The pump loses its prime overnight.",
			"It hums happily but nothing comes until I pour water into it.",
			"The suction hose has a leak, bubbles come out.",
			"After every pause I have to prime the pump.",
			"The pump sucks air from the barrel.",
			"It works again after I fill a jug or can of water into the pump.",
			"The pump runs happily but the water does not come up.",
			"Every morning the pump is empty and must be filled.",
			"There are air bubbles in the hose behind the pump.",
			"Only froth and bubbles come and then nothing.",
		},
		Check: "Look through a clear hose or at the gauge while it runs: bubbles, or a needle that swings, say " +
			"that the suction is not tight. Switch it off at its isolator, let it cool and relieve the " +
			"pressure before a joint or the strainer is opened.",
		Ask:         "Must the pump be filled again and again before it gives water?",
		BaseRate:    Often,
		LocalEffect: "The pump gives no water until the air has stopped and it is primed again.",
		EndEffect:   "The pump runs dry and its seal burns; what it feeds gets nothing.",
		Hazards:     []Hazard{DryRunning, DryOut, SilentFailure},
		course:      hold("air", always(1)),
	},
	{
		ID: "weir.blocked", Name: "weir blocked", DeviceKind: "tank", Needs: hasWeir,
		Phrases: []Phrase{
			{Pattern: `the weir of {tank} is blocked by {share}`,
				Meaning: "The overflow notch passes less by this share than it should at the same level."},
		},
		Mechanism: "Leaves or ice lie in the overflow notch.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 1, Min: 0, Max: 1,
				Source:      practice,
				WorstSource: "ice from wall to wall; " + practice},
		},
		Symptoms: []string{
			"The water came over the edge although there is an overflow.",
			"The spillway is blocked with leaves.",
			"Ice in the overflow slot, water came over the side.",
		},
		Check:       "Pour a bucket of clean water in at the notch and look whether it runs away.",
		Ask:         "Do leaves or ice lie in the overflow notch at the edge?",
		BaseRate:    Seldom,
		LocalEffect: "The notch passes only a share of what it should at the same level.",
		EndEffect:   "What the overflow would have carried away runs over the rim.",
		Hazards:     []Hazard{Flood},
		course:      hold("weir", func(p func(string) float64) float64 { return 1 - p("share") }),
	},
}
