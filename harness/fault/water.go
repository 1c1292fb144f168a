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
		Symptoms: []string{"The water keeps running although it is switched off.", "The tank overflowed last night.",
			"The valve does not shut."},
		Check: "Take the coil's lead off: water that still runs is the valve's; shut the hand valve before it and " +
			"open the body.",
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
		Symptoms: []string{"It clicks and no water comes.", "The plants are dry and the display says that it watered.",
			"App says watering but nothing is wet."},
		Check: "Measure the coil's voltage while it is called: with voltage and no click it is the coil, with a " +
			"click and no water the body.",
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
		Symptoms:    []string{"The sprays only dribble in the evening.", "Filling takes hours."},
		Check:       "Hang a gauge on the tap for a day, with the valves running one by one and together.",
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
		Mechanism:   "The main is off and drained for repairs: it stands open to the air.",
		Symptoms:    []string{"No water came at all.", "The plants dried out while we were on holiday."},
		Check:       "Open another tap of the same supply.",
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
		Symptoms:    []string{"The water came over the edge although there is an overflow."},
		Check:       "Pour a bucket into the standpipe and look whether it leaves at the other end as fast.",
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
		Symptoms: []string{"It fills far more often than it used to.",
			"It fills every hour although nobody takes water."},
		Check:       "Shut everything for an hour, mark the level and look at it again.",
		LocalEffect: "The level falls although nothing is drawn.",
		EndEffect:   "Fills repeat without end; the pump finds the tank empty.",
		Hazards:     []Hazard{WaterWasted, DryOut, DryRunning},
		course: together(hold("hole",
			func(p func(string) float64) float64 { return math.Pi / 4 * p("hole") * p("hole") }),
			hold("hole height", parameter("height"))),
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
