package fault

import (
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

var valveFaults = []Entry{
	{
		ID: "valve.weeps", Name: "valve weeps", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `the valve {valve} weeps {share} of its capacity`,
				Meaning: "Its disc comes to its seat, and this share of its Kv passes it all the same."},
		},
		Mechanism: "A scratched seat or a hardened diaphragm: the disc is seated and a little water passes.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.02, Worst: 0.1, Min: 1e-4, Max: 0.5, Source: practice},
		},
		Symptoms: []string{
			"It drips from the inlet although everything is off.",
			"Water comes out of the drippers when all is off.",
			"The meter turns at night.",
			"The lawn round one sprinkler is a swamp.",
			"It never really stops, there is a slow drip all the time.",
			"The valve does not seal completely, water trickles through when it is closed.",
			"The dripline keeps dribbling between waterings and the bed is boggy.",
			"A bit of grit on the seat lets a small flow pass.",
			"A slow trickle from the hose into the barrel though the valve is shut.",
			"The lowest sprinkler seeps constantly.",
			"Drip drip drip all night though it is off.",
			"The pots at the bottom are always wet because the valve lets a little through.",
			"It keeps oozing from the drippers between runs and there is moss.",
			"A trickle never stops, the meter creeps.",
		},
		Check: "Shut everything and hold a cup under the inlet or a dripper for ten minutes; then shut the " +
			"hand valve before it and see the drip stop.",
		Ask:         "Does a little water go on dripping for hours with everything off?",
		BaseRate:    Often,
		LocalEffect: "Seated, the valve passes a share of its Kv.",
		EndEffect:   "Water runs all the time; a tank fills over its overflow in the end.",
		Hazards:     []Hazard{WaterWasted, Flood},
		course:      hold("weep", parameter("share")),
	},
	{
		ID: "valve.closes-slowly", Name: "valve closes slowly", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `the valve {valve} needs {factor} times its stroke time to close`,
				Meaning: "Its closing stroke takes so many times what the site file says."},
			byClosingTime,
		},
		Mechanism: "A bleed hole that is nearly blocked or a sticky plunger: the disc takes many times its stroke " +
			"time to seat.",
		Parameters: []Parameter{
			{Name: "factor", Default: 5, Worst: 100, Min: 1, Max: 100, Source: practice},
		},
		Symptoms: []string{
			"It runs on for a while after it was switched off.",
			"It takes ages to stop after I press off.",
			"The sprinkler keeps going for a minute after the end of the run and then stops.",
			"The valve shuts very slowly.",
			"It takes half a minute until it has really shut.",
			"The water fades out slowly after the end instead of stopping.",
		},
		Check:       "Switch it off by hand and count the seconds until the meter or the sprays stand.",
		Ask:         "Does the water stop by itself, but many seconds after it was switched off?",
		LocalEffect: "The closing stroke takes that many times as long.",
		EndEffect:   "More water than was asked for; a small tank rises above its high contact.",
		Hazards:     []Hazard{WaterWasted, Flood},
		course:      hold("closing factor", parameter("factor")),
	},
	{
		ID: "valve.slams", Name: "valve slams", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `the valve {valve} slams shut within {factor} times its stroke time`,
				Meaning: "Its closing stroke takes so many times what the site file says."},
			byClosingTime,
		},
		Mechanism: "A missing throttle in the bleed, a diaphragm of the wrong make or a spring too strong: the disc " +
			"falls in a fraction of its stroke time.",
		Parameters: []Parameter{
			{Name: "factor", Default: 0.2, Worst: 0.05, Min: 0.01, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"The pipes bang when it shuts.",
			"A fitting has come apart.",
			"There is a loud bang in the wall when the watering stops.",
			"Water hammer: the pipes knock and jump when the zone switches off.",
			"A thump goes through the house every time the sprinklers finish.",
			"The pipes shake and thud as the solenoid closes.",
			"A tremendous crash in the pipes whenever it finishes watering.",
			"The whole house shudders when the valve closes.",
			"The washing machine hose jumps when the irrigation stops.",
			"My neighbours complain about the bang in the wall.",
			"The valve in the loft bangs as it closes and wakes the baby.",
		},
		Check: "Listen at the pipe while it shuts: a bang just then, and none while nothing of yours runs, is " +
			"this valve's. Have a gauge with a drag pointer fitted before it, with the water isolated and the " +
			"pressure relieved: the peak shows it.",
		Ask:         "Does the bang come each time that this one valve shuts?",
		BaseRate:    Often,
		LocalEffect: "The closing stroke takes a fraction of its time.",
		EndEffect:   "The pressure in the pipe before it rises by up to ρ a v; hoses and fittings give way.",
		Hazards:     []Hazard{Surge},
		course:      hold("closing factor", parameter("factor")),
	},
	{
		ID: "valve.will-not-seat", Name: "pilot valve will not seat", DeviceKind: "valve", Needs: isPilot,
		Phrases: []Phrase{
			{Pattern: `the valve {valve} needs {differential} to seat`,
				Meaning: "The diaphragm of a pilot-operated valve seats with this differential at the least."},
		},
		Mechanism: "A stiff or swollen diaphragm, a tired spring: the diaphragm of a pilot-operated valve needs " +
			"more differential to seat than there is.",
		Parameters: []Parameter{
			{Name: "differential", Dim: quantity.Pressure, Default: 1e5, Worst: 1e6, Min: 1e3, Max: 1e7,
				Source:      practice,
				WorstSource: "more than a garden supply has; " + practice},
		},
		Symptoms: []string{
			"It shuts by day and runs on at night.",
			"When the neighbours water, it does not stop.",
			"With low pressure the valve does not close.",
			"It will not shut when several taps are open.",
			"On the gravity tank the valve stays open because there is not enough pressure.",
			"It only shuts when the pressure comes back at night.",
		},
		Check: "Have the pressure read before and behind it at the time at which it runs on, by gauges fitted " +
			"with the water isolated and the pressure relieved: below what its data sheet asks for, it is the " +
			"supply; above, the diaphragm.",
		Ask:         "Does it shut properly when the pressure is high, and run on when it is low?",
		LocalEffect: "With the coil off the disc falls until the differential is no longer enough, and stays there.",
		EndEffect:   "Water runs until the pressure comes back or somebody shuts it off.",
		Hazards:     []Hazard{Flood, WaterWasted},
		course:      hold("seats at", parameter("differential")),
	},
	{
		ID: "valve.bleed-blocked", Name: "bleed of a pilot valve blocked", DeviceKind: "valve", Needs: isPilot,
		Phrases: []Phrase{
			{Pattern: `the bleed of the valve {valve} is blocked`,
				Meaning: "The disc of a pilot-operated valve stays where it is when its coil is off."},
		},
		Mechanism: "A grain sits in the hole through which the room over the diaphragm fills: the pressure that " +
			"should shut the valve never builds up.",
		Symptoms: []string{
			"It opened and never shut again.",
			"A tap with a hammer helps.",
			"Giving the valve a tap makes it close.",
			"The valve stays open after the run because a tiny hole is plugged with grit.",
		},
		Check: "Shut the hand valve before it and open it again quickly: a valve that shuts then has a blocked " +
			"bleed. Before anybody opens the body to blow through the hole: isolate power and water and " +
			"relieve the pressure.",
		Ask:         "Does it shut when you close the hand valve before it and open it again quickly?",
		LocalEffect: "With the coil off the disc of a pilot-operated valve stays where it is.",
		EndEffect:   "Water runs in full until somebody, or another valve, shuts it off.",
		Hazards:     []Hazard{Flood, WaterWasted},
		course:      hold("seats at", always(1e7)),
	},
}

// byClosingTime says how long a valve takes to close. It closes slowly or slams: the figure says which.
var byClosingTime = Phrase{Pattern: `the valve {valve} takes {closing time} to close`,
	Meaning: "Its closing stroke takes so long, in the place of what the site file says.",
	figures: map[string]figure{"closing time": {"factor", quantity.Duration,
		func(s *sitefile.Site, valve string, seconds float64) float64 { return seconds / stroke(s, valve) },
		func(s *sitefile.Site, valve string, factor float64) float64 { return factor * stroke(s, valve) }}}}

// stroke is the time that a valve takes to close by its entry, s.
func stroke(s *sitefile.Site, valve string) float64 {
	v, _ := s.Entry(valve).(*sitefile.Valve)
	if v == nil {
		return 1
	}
	return v.Closes.SI
}
