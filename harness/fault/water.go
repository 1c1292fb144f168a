package fault

import (
	"math"

	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

var waterFaults = []Entry{
	{
		ID: "valve.stuck-open", Name: "valve stuck open", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `the valve {valve} sticks[ {opening}] open`,
				Formerly: []string{`grit holds the valve {valve} open by {opening}`},
				Meaning: "Once it has been open that far, fully unless a share is given, its disc does not come " +
					"closer to the seat."},
		},
		Mechanism: "Grit under the diaphragm, a torn diaphragm or a blocked bleed hole: the disc cannot come back " +
			"to its seat once it has been lifted.",
		Parameters: []Parameter{
			{Name: "opening", Dim: quantity.Fraction, Default: 1, Worst: 1, Min: 0.01, Max: 1,
				Source:      practice,
				WorstSource: "nothing lets more by"},
		},
		Symptoms: []string{
			"The water keeps running although it is switched off.",
			"The tank overflowed last night.",
			"The valve does not shut.",
			"It will not turn off at all, I had to close the stopcock.",
			"The sprinkler never stops, even with the power disconnected.",
			"One zone has been running for hours and off in the app does nothing.",
			"The solenoid is stuck open and the lawn is flooded.",
			"Water keeps coming with no electricity on it.",
			"The fill valve did not close and the cistern ran over.",
			"I unplugged everything and it still waters.",
			"I cannot stop the water, even with the controller off.",
			"It keeps on spraying with no power; only the stop tap under the sink helps.",
			"The water runs day and night, I had to shut the main tap.",
			"The sprinkler has been on since this morning and the button does nothing.",
			"The zone stays on for ever even after pulling the plug.",
			"It ran on for an hour after the ten minutes were over.",
			"The run did not end, the meter had counted far too much.",
		},
		Check: "Pull the controller's plug. A valve with a plain coil must shut: water that still runs is the " +
			"valve's. One with a latching coil keeps its state without power: send the stop again and listen; " +
			"a click while the water runs on is the valve's, no click is the coil, its output or the battery. " +
			"Then shut the hand valve before it, isolate the power and relieve the pressure before anybody " +
			"opens the body.",
		Ask:         "Does the water run on with the controller's plug pulled out?",
		BaseRate:    Often,
		LocalEffect: "With the coil off the valve stays open as far as the disc is held.",
		EndEffect:   "Water runs until somebody, or another valve, shuts it off.",
		Hazards:     []Hazard{Flood, WaterWasted},
		course:      hold("held open", parameter("opening")),
	},
	{
		ID: "valve.stuck-closed", Name: "valve stuck shut", DeviceKind: "valve", Opposite: "valve.stuck-open",
		Phrases: []Phrase{
			{Pattern: `the valve {valve} stays shut[ but for {opening}]`,
				Meaning: "Its disc does not rise, or no further than this, whatever the coil does."},
		},
		Mechanism: "A seized plunger or an open coil: the disc does not rise.",
		Parameters: []Parameter{
			{Name: "opening", Dim: quantity.Fraction, Default: 0, Worst: 0, Min: 0, Max: 0.99,
				Source:      practice,
				WorstSource: "nothing lets less by"},
		},
		Symptoms: []string{
			"It clicks and no water comes.",
			"The plants are dry and the display says that it watered.",
			"App says watering but nothing is wet.",
			"I hear the click but nothing comes out of that bed.",
			"One zone does not open although the solenoid clicks.",
			"The valve is seized shut after the winter.",
			"It says watering, there is no flow, and the other zone on the same tap is fine.",
			"The diaphragm is gummed up, it won't open.",
			"The tank is not filling although the valve is called.",
			"The controller clicks, the little light is on and still the bed gets no water.",
			"After the winter one valve does not open any more, you can hear it try.",
			"Only this one sprinkler circuit gives no water, all the others are good.",
			"The valve is gummed or furred up and does not lift.",
			"The solenoid clicks but not a drop comes out.",
		},
		Check: "Listen while it is called: a click and no water is the body, or no water before it; no click " +
			"is the coil or its wire. Look whether the hand valve before it is open. For the coil: switch off, " +
			"take its two wires off the controller and measure their ohms. For the body: isolate power and " +
			"water, relieve the pressure, and open it only then.",
		Ask:         "Does this valve click when it is called, with no water although its neighbours run?",
		BaseRate:    Often,
		LocalEffect: "With the coil on the valve stays shut, or as little open as the disc can rise.",
		EndEffect:   "The zone is not watered, the tank is not filled.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("held shut", parameter("opening")),
	},
	{
		ID: "supply.pressure-drop", Name: "supply pressure drops", DeviceKind: "supply",
		Lasts: Window{Typical: 30 * signal.Minute},
		Phrases: []Phrase{
			{Pattern: `the supply {supply} falls to {share} of its pressure`,
				Meaning: "Static and residual pressure fall to this share."},
		},
		Mechanism: "Neighbours draw water, a main bursts, a booster trips: the same supply with a share of its " +
			"pressure.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.4, Worst: 0.1, Min: 0, Max: 1,
				Source:      practice,
				WorstSource: "too little to press a diaphragm home, and not nothing; " + practice},
		},
		Symptoms: []string{
			"The sprays only dribble in the evening.",
			"Filling takes hours.",
			"There is hardly any pressure when someone showers.",
			"Low water pressure: sprinklers do not pop up or reach.",
			"The mains pressure has dropped.",
			"When the washing machine runs the sprinklers collapse.",
			"The spray barely reaches the edge.",
			"The jets collapse when somebody takes a shower or flushes.",
			"The flow is pitiful, the pop-ups do not even rise.",
			"There is not enough pressure for all the heads.",
			"When the farm or the neighbour on the same line irrigates, ours give nothing.",
			"As soon as water is used elsewhere the drips stop.",
		},
		Check:       "Have a gauge put on an outside tap for a day, with the valves running one by one and together.",
		Ask:         "Is the pressure low at the outside tap too, while your zones run?",
		BaseRate:    Often,
		LocalEffect: "Static and residual pressure fall alike; every flow from the supply is smaller.",
		EndEffect:   "Beds get less water in the same run time, tanks fill slowly or not at all.",
		Hazards:     []Hazard{DryOut, Backflow, SilentFailure},
		course:      hold("pressure factor", parameter("share")),
	},
	{
		ID: "supply.off", Name: "supply shut off", DeviceKind: "supply", Lasts: Window{Typical: 2 * signal.Hour},
		Phrases: []Phrase{
			{Pattern: `the supply {supply} is shut off`,
				Meaning: "No water comes from the supply, which stands open to the air."},
		},
		Mechanism: "The main is off and drained for repairs: it stands open to the air.",
		Symptoms: []string{
			"No water came at all.",
			"The plants dried out while we were on holiday.",
			"The stopcock was closed, no water anywhere.",
			"Someone turned the outside tap off.",
			"Nothing at all comes, and the kitchen tap is dry as well.",
			"The water company turned off the water for repairs.",
			"The garden tap was shut for the winter and never opened.",
			"No water in the house either.",
			"Somebody closed the stopcock in the cellar.",
			"The water board is working in the street and everything is dry.",
		},
		Check:       "Open another tap of the same supply: nothing there either is the supply or its stop valve.",
		Ask:         "Does no water come from any other tap of the same supply?",
		BaseRate:    Often,
		LocalEffect: "No pressure and no flow from the supply; what stands higher and is not held runs back into it.",
		EndEffect:   "Nothing is watered or filled; a pump that draws from it runs dry, one behind a tank runs it empty.",
		Hazards:     []Hazard{DryOut, DryRunning, Backflow, SilentFailure},
		course:      hold("pressure factor", always(0)),
	},
	{
		ID: "overflow.blocked", Name: "standpipe blocked", DeviceKind: "tank", Needs: hasStandpipe,
		Phrases: []Phrase{
			{Pattern: `the standpipe of {tank} is blocked by {share}`,
				Meaning: "The overflow pipe passes less by this share than it should at the same level."},
		},
		Mechanism: "Leaves, algae or a forgotten plug narrow the overflow pipe.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 1, Min: 0, Max: 1,
				Source:      practice,
				WorstSource: "a forgotten plug; " + practice},
		},
		Symptoms: []string{
			"The water came over the edge although there is an overflow.",
			"The overflow pipe is clogged with leaves and slime and the tank ran over its rim.",
			"There is an overflow but the water went over the top.",
			"Algae blocked the overflow and the room flooded.",
			"The drain of the overflow is plugged, the floor is wet.",
			"The overflow pipe is bunged up and it came over the sides.",
			"A frog or a nest was in the overflow and the water ran into the room.",
			"It has an overflow, but it could not cope; the water spilled over the rim.",
			"There was a ball in the pipe that should take the excess away.",
		},
		Check: "Pour a bucket of clean water into the standpipe and look whether it leaves at the other end as " +
			"fast. Keep hands and breath away from water that has stood warm.",
		Ask:         "Did water come over the rim while hardly any left by the overflow pipe?",
		BaseRate:    Often,
		LocalEffect: "The standpipe passes only a share of what it should at the same level.",
		EndEffect:   "What the overflow would have carried away runs over the rim.",
		Hazards:     []Hazard{Flood},
		course:      hold("standpipe", func(p func(string) float64) float64 { return 1 - p("share") }),
	},
	{
		ID: "tank.leak", Name: "tank leaks", DeviceKind: "tank",
		Phrases: []Phrase{
			{Pattern: `the tank {tank} leaks {leak}`,
				Meaning: "A hole at its floor lets out so much when the water stands at the rim, and less when it " +
					"stands lower.",
				figures: map[string]figure{"leak": {"hole", quantity.Flow,
					func(s *sitefile.Site, tank string, flow float64) float64 { return LeakHole(flow, rim(s, tank)) },
					func(s *sitefile.Site, tank string, hole float64) float64 {
						return leakFlow(hole,
							rim(s, tank))
					}}}},
			{Pattern: `the tank {tank} leaks through a hole of {hole} at {height}`,
				Meaning: "A round hole of that bore so high above its floor lets water out, the more the higher the " +
					"water stands above it."},
		},
		Mechanism: "A cracked fitting or a drain cock that is not shut lets water out below the surface, the more " +
			"the higher it stands above.",
		Parameters: []Parameter{
			{Name: "hole", Dim: quantity.Length, Default: 4e-3, Worst: 8e-3, Min: 0.05e-3, Max: 0.1,
				Source:      practice,
				WorstSource: "less than fills a small tank, so that it is filled on and on; " + practice},
			{Name: "height", Dim: quantity.Length, Default: 0, Worst: 0, Min: 0, Max: 20,
				Source:      practice,
				WorstSource: "at the floor, under the most water"},
		},
		Symptoms: []string{
			"It fills far more often than it used to.",
			"It fills every hour although nobody takes water.",
			"The trough loses water and tops itself up every couple of hours.",
			"There is a wet patch under the tank.",
			"The barrel has a crack, it is never full for long.",
			"It refills repeatedly at night though nobody uses anything.",
			"The level drops all the time and the ground below is damp.",
			"The pond liner or drain cock leaks.",
			"The tank loses water overnight with everything switched off.",
			"There is a puddle under the barrel and it keeps refilling.",
			"It goes down by inches every night and nobody takes any.",
			"The trough tops up every hour and the ground is muddy at one corner.",
		},
		Check:       "Shut everything for an hour, mark the level and look at it again; look for a wet patch below.",
		Ask:         "Does the level fall by as much with everything shut, on cool days and at night too?",
		BaseRate:    Often,
		LocalEffect: "The level falls although nothing is drawn.",
		EndEffect:   "Fills repeat without end; the pump finds the tank empty.",
		Hazards:     []Hazard{WaterWasted, DryOut, DryRunning},
		course: together(hold("hole",
			func(p func(string) float64) float64 { return math.Pi / 4 * p("hole") * p("hole") }),
			hold("hole height", parameter("height"))),
	},
	{
		ID: "tank.evaporates", Name: "water evaporates from a tank", DeviceKind: "tank",
		Phrases: []Phrase{
			{Pattern: `{loss} a day evaporates from {tank}`,
				Meaning: "So much leaves it evenly, day and night."},
		},
		Mechanism: "Sun and wind take some millimetres a day off an open surface. It is no failure, and " +
			"looks like a small leak.",
		Parameters: []Parameter{
			{Name: "loss", Dim: quantity.Volume, Default: 5e-3, Worst: 50e-3, Min: 0.1e-3, Max: 1,
				Source: "5 mm a day from a square metre; " + practice},
		},
		Symptoms: []string{
			"It loses a bit of water on hot windy days and hardly any on cool ones.",
			"The open pond goes down in the heat, no leak to be seen.",
			"In summer the trough needs topping up every day, the ground is dry underneath.",
			"The level drops a centimetre on sunny days.",
			"It is lower every evening after a hot day, and the ground is bone dry.",
			"Do I have a leak or is it just the heat and wind?",
		},
		Check: "Put a bucket of water beside the tank and mark both levels: where both fall alike in a day " +
			"it is evaporation, some millimetres on a hot and windy one.",
		Ask:         "Does the level fall only on hot, dry or windy days, with the ground below dry?",
		LocalEffect: "The level falls by some millimetres a day.",
		EndEffect:   "A few more fills; without them a shallow trough is empty in a week or two.",
		Hazards:     []Hazard{DryOut},
		course:      hold("draw", func(p func(string) float64) float64 { return p("loss") / 86400 }),
	},
}

// LeakHole is the bore in m of the hole through which a flow in m³/s runs out below so many metres of water, by the law
// of an orifice with a sharp edge, flow = 0.62 area sqrt(2 g depth) (Torricelli 1643; the coefficient is a textbook
// value). The catalogue may not import the models; a test of theirs holds these two figures against what they compute
// with.
func LeakHole(flow, depth float64) float64 {
	area := flow / (discharge * math.Sqrt(2*gravity*depth))
	return math.Sqrt(4 * area / math.Pi)
}

const discharge, gravity = 0.62, 9.80665

// leakFlow is what LeakHole is the inverse of.
func leakFlow(hole, depth float64) float64 {
	return math.Pi / 4 * hole * hole * (discharge * math.Sqrt(2*gravity*depth))
}

// rim is how high the rim of a tank stands above its floor by its entry, m.
func rim(s *sitefile.Site, tank string) float64 {
	t, _ := s.Entry(tank).(*sitefile.Tank)
	if t == nil {
		return 1
	}
	return t.Rim.SI
}
