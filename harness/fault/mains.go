package fault

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// mainsFaults are what the street does to the pressure, and what frost does to a pipe.
var mainsFaults = []Entry{
	{
		ID: "supply.pressure-ramp", Name: "supply pressure falls slowly", DeviceKind: "supply",
		Phrases: []Phrase{
			{Pattern: `the supply {supply} falls to {share} of its pressure within {over}`,
				Meaning: "Static and residual pressure fall to this share in a hundred small steps, and stay there."},
		},
		Mechanism: "A reservoir runs down, a filter at the house loads up or the town waters its gardens: the " +
			"pressure falls little by little and stays down.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.3, Worst: 0.1, Min: 0, Max: 1,
				Source: "that is left in the end; " + practice},
			{Name: "over", Dim: quantity.Duration, Default: 1800, Worst: 600, Min: 1, Max: 7 * 86400, Source: practice},
		},
		Symptoms: []string{
			"The sprays get weaker and weaker through the evening.",
			"It filled in ten minutes and now it takes an hour.",
			"It starts strong and fades over hours.",
			"The rain tank runs down and the sprays get weak.",
		},
		Check: "Have a gauge put on an outside tap for a day: a slope is the supply's; a pressure that falls " +
			"only while water runs is a filter or a hand valve before the tap.",
		Ask:         "Does the pressure at the outside tap, with nothing running, get lower from hour to hour?",
		LocalEffect: "Static and residual pressure fall alike, in a hundred small steps.",
		EndEffect:   "Fills and runs give less and less; a pilot valve that opened may find too little to shut.",
		Hazards:     []Hazard{DryOut, Flood, SilentFailure},
		course: func(p func(string) float64, length signal.Time) []Turn {
			return []Turn{{Knob: "pressure factor", Value: p("share"), Until: length,
				Over: signal.FromSeconds(p("over"))}}
		},
	},
	{
		ID: "supply.pressure-daily", Name: "supply weak every day at the same hours", DeviceKind: "supply",
		WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `every day for {lasts} the supply {supply} falls to {share} of its pressure`,
				Meaning: "Static and residual pressure fall to this share for so long, and again 24 h after they " +
					"fell."},
		},
		Mechanism: "The neighbours water at the same hours every day, and the main gives out.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.3, Worst: 0.1, Min: 0, Max: 1, Source: practice},
			{Name: "lasts", Dim: quantity.Duration, Default: 2 * 3600, Worst: 4 * 3600, Min: 60, Max: 86000,
				Source: practice},
		},
		Symptoms: []string{
			"The sprays only dribble in the evening.",
			"The lawn is dry although it runs every evening.",
			"At seven in the evening it hardly sprays, at midnight it is perfect.",
			"When all the neighbours water their lawns there is no pressure.",
			"Weak at peak hours, fine early in the morning.",
			"In the morning rush the sprinklers only dribble.",
			"Between six and eight it is hopeless, later it is great.",
			"At the time when everybody waters the sprinklers barely reach.",
			"Good at night, bad in the evening.",
		},
		Check:       "Start the zone by hand at another time of day: if it is as it should be then, it is the hours.",
		Ask:         "Is the same zone well at another hour of the day?",
		BaseRate:    Often,
		LocalEffect: "Static and residual pressure fall alike, for so long each day from when it began.",
		EndEffect:   "Programmes that run in these hours give too little, day after day.",
		Hazards:     []Hazard{DryOut, Flood, SilentFailure},
		course: func(p func(string) float64, length signal.Time) []Turn {
			return repeat("pressure factor", p("share"), signal.FromSeconds(p("lasts")), signal.Day, min(length,
				mostDays*signal.Day))
		},
	},
	{
		ID: "supply.surge", Name: "surge from the street", DeviceKind: "supply", Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `a surge of {surge} comes through the supply {supply} for {lasts}`,
				Meaning: "Static and residual pressure are higher by as much for so long."},
		},
		Mechanism: "A hydrant or a large valve in the street is shut quickly, or a booster starts against a full " +
			"main: for a moment the pressure is far above what it should be.",
		Parameters: []Parameter{
			{Name: "surge", Dim: quantity.Pressure, Default: 3e5, Worst: 13e5, Min: 1e3, Max: 20e5,
				Source:      practice,
				WorstSource: "ρ a v of 1 m/s stopped at once at 1300 m/s (Joukowsky 1898); the speeds: " + practice},
			{Name: "lasts", Dim: quantity.Duration, Default: 2, Worst: 2, Min: 0.01, Max: 600, Source: practice},
		},
		Symptoms: []string{
			"The pipes bang although nothing of ours runs.",
			"A fitting has come apart.",
			"Water shoots out of the drippers for a moment.",
			"Knocking in the pipes at random times, the watering is off.",
			"A hose burst in the night and nothing was on.",
			"The pressure jumped for a second, the street main was being worked on.",
		},
		Check: "Have a gauge with a drag pointer left on the tap over night with everything shut: what it " +
			"shows in the morning comes from the street.",
		Ask:         "Does it bang while nothing of yours runs?",
		LocalEffect: "Static and residual pressure are higher by as much, for a moment.",
		EndEffect: "Whatever stands under mains pressure gets it, and what a regulator protects does not; fittings " +
			"and drip lines without one let go.",
		Hazards: []Hazard{Surge, WaterWasted},
		course:  during("lasts", hold("surge", parameter("surge"))),
	},
	{
		ID: "supply.pressure-high", Name: "supply pressure too high", DeviceKind: "supply",
		Phrases: []Phrase{
			{Pattern: `the supply {supply} stands at {factor} times its pressure`,
				Meaning: "Static and residual pressure are higher by this factor."},
		},
		Mechanism: "The house has no pressure regulator, or stands low in its pressure zone: hoses and drip " +
			"parts get more than they are made for, day and night.",
		Parameters: []Parameter{
			{Name: "factor", Default: 1.25, Worst: 1.5, Min: 1, Max: 1.5, Source: practice},
		},
		Symptoms: []string{
			"The drip fittings pop off every few weeks.",
			"The pressure is too high, the gauge shows seven or eight bar.",
			"Hoses burst and connectors blow apart again and again.",
			"The drippers squirt and fly out of the pipe.",
			"Mist instead of drops comes from the nozzles, too much pressure.",
			"There is no pressure reducer and joints keep coming off.",
			"The plumber measured eight bar at the tap.",
			"The hose connectors fly off when it stops.",
			"Drippers and fittings have blown off several times.",
			"The pipe joints do not hold, there is far too much pressure.",
		},
		Check: "Have a gauge put on an outside tap for a night: well above what the drip parts and hoses are " +
			"made for, often 4 bar or less, is too much. Fitting a regulator is for a licensed plumber.",
		Ask:         "Is the pressure at the outside tap always high, and do fittings let go again and again?",
		LocalEffect: "Static and residual pressure are higher by this factor.",
		EndEffect:   "Fittings pop off, drippers fly out, hoses split; each closing surges from a higher level.",
		Hazards:     []Hazard{Surge, WaterWasted, Flood},
		course:      hold("pressure factor", parameter("factor")),
	},
	{
		ID: "supply.pulsing", Name: "supply pressure pulses", DeviceKind: "supply",
		Lasts: Window{Typical: 20 * signal.Minute},
		Phrases: []Phrase{
			{Pattern: `the supply {supply} pulses down to {share} of its pressure every {period}`,
				Meaning: "For half of each period static and residual pressure fall to this share; without an end " +
					"it goes on for a day."},
		},
		Mechanism: "A booster with a burst vessel, or a pressure switch set too close, starts and stops every few " +
			"seconds: the pressure swings between its two ends.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.4, Worst: 0.1, Min: 0, Max: 1,
				Source: "at the low end; " + practice},
			{Name: "period", Dim: quantity.Duration, Default: 30, Worst: 10, Min: 10, Max: 3600, Source: practice},
		},
		Symptoms: []string{
			"The sprays come and go like breathing.",
			"The gauge swings all the time.",
			"The booster clicks on and off.",
			"The pump starts and stops every few seconds.",
			"The pressure goes up and down, up and down.",
			"The booster short-cycles, the pressure vessel has lost its air.",
			"The well pump clicks on and off all the time while it waters.",
			"The sprinklers surge and sag.",
			"The pump goes on and off every three seconds while watering.",
			"The well pump clicks in and out constantly, the tank with the bladder is dead.",
		},
		Check: "Watch the gauge while one zone runs: a swing in step with the booster is its vessel. A vessel " +
			"is under air and water pressure: its charge is checked by someone who knows it, with the pump " +
			"isolated and the water side relieved.",
		Ask:         "Do the sprays swing in a steady rhythm, in step with a pump that starts and stops?",
		LocalEffect: "For half of each period static and residual pressure have this share.",
		EndEffect:   "Sprays are weak every other moment; a pilot valve flutters, a regulator wears.",
		Hazards:     []Hazard{DryOut, Surge, SilentFailure},
		course: func(p func(string) float64, length signal.Time) []Turn {
			period := signal.FromSeconds(p("period"))
			return repeat("pressure factor", p("share"), period/2, period, min(length, signal.Day))
		},
	},
	{
		ID: "pipe.frozen", Name: "line frozen", DeviceKind: "pipe", Lasts: Window{Typical: 3 * signal.Hour},
		Phrases: []Phrase{
			{Pattern: `the pipe {pipe} is frozen`,
				Meaning: "No water passes it."},
		},
		Mechanism: "Water that stood in a pipe above ground has frozen: a plug of ice fills it from wall to wall " +
			"until it thaws.",
		Symptoms: []string{
			"On cold mornings nothing comes.",
			"After the frost the zone was dead, and at noon it worked again.",
			"Nothing comes when it is below zero, it is frozen solid.",
			"Ice in the pipe, no water until midday.",
			"After a night of minus five the tap line was blocked.",
			"Everything was frozen this morning, it thawed about eleven and worked.",
			"Frost, no water, ice on the tap.",
		},
		Check: "Feel along the pipe and wait for the thaw: a line that comes back by itself was frozen; no " +
			"flame near it. Look for splits before it is put under pressure again.",
		Ask:         "Did it come back by itself when it got warmer?",
		LocalEffect: "No water passes the pipe.",
		EndEffect: "What is behind it gets nothing; a pump behind it runs dry, one before it runs against it; the " +
			"pipe may have split when it thaws.",
		Hazards: []Hazard{DryOut, DryRunning, SilentFailure},
		course:  hold("ice", always(1)),
	},
}

// mostDays is for how many days something that comes every day comes when its window has no end.
const mostDays = 30

// repeat turns a knob for as long as each turn lasts, every so often, to the end of the window.
func repeat(knob string, value float64, lasts, every, length signal.Time) []Turn {
	var turns []Turn
	for from := signal.Time(0); from < length; from += every {
		turns = append(turns, Turn{Knob: knob, Value: value, From: from, Until: min(from+lasts, length)})
	}
	return turns
}
