package fault

import "ullage/harness/quantity"

// regulatorFaults are those of pressure regulators.
var regulatorFaults = []Entry{
	{
		ID: "regulator.creeps", Name: "regulator creeps", DeviceKind: "regulator",
		Phrases: []Phrase{
			{Pattern: `the regulator {regulator} creeps through {opening} of its passage`,
				Meaning: "Its seat does not close: with no flow the pressure behind it climbs to that before it. Under a " +
					"flow larger than that it holds what it sets."},
		},
		Mechanism: "Grit lies on the seat, or the seat is worn or cut: it lets a little through when it should be shut, " +
			"and a closed pipe behind it climbs to the pressure of the supply in minutes to hours (at once in the run).",
		Parameters: []Parameter{
			{Name: "opening", Dim: quantity.Fraction, Default: 1e-3, Worst: 1e-2, Min: 1e-5, Max: 0.1, Source: practice},
		},
		Symptoms: []string{
			"The pressure behind the regulator creeps up overnight when nothing runs.",
			"The gauge after the pressure reducer shows the full mains pressure in the morning.",
			"Drippers pop off the moment the zone opens, then it settles.",
			"Push-fit joints drip at night although the pressure is set low.",
			"There is a bang of pressure for a second whenever a valve opens.",
		},
		Check: "With nothing drawing, read a gauge that is already fitted behind the regulator, and again after an hour: " +
			"one that climbs above the lock-up creeps. Isolate and relieve the pressure before the regulator is opened.",
		Ask:         "Does the gauge behind the regulator climb while no water is drawn, and fall back when it is?",
		LocalEffect: "With no flow the pressure behind it rises to that before it.",
		EndEffect: "What lies behind it is held at the pressure of the supply whenever nothing runs: fittings blow off, " +
			"valves see more than they are made for, and surges begin from there.",
		Hazards: []Hazard{Surge, Flood, WaterWasted, SilentFailure},
		course:  hold("held open", parameter("opening")),
	},
	{
		ID: "regulator.fails-open", Name: "regulator fails open", DeviceKind: "regulator",
		Phrases: []Phrase{
			{Pattern: `the regulator {regulator} fails open`,
				Meaning: "It stays fully open whatever the pressure behind it is."},
		},
		Mechanism: "The diaphragm has torn, the spring has jammed or the seat has come off: nothing shuts it any more.",
		Symptoms: []string{
			"The drip fittings blew off.", "Drippers spray like fountains.", "The sprays make fog instead of drops.",
			"The pressure reducer does nothing any more, it is the same before and after.",
			"Hoses burst behind the pressure regulator.", "The drip zone uses far more water than last year.",
		},
		Check: "Read gauges that are already fitted before and behind the regulator while the zone runs: about the same " +
			"on both says that it stands open. Isolate and relieve the pressure before it is opened.",
		Ask:         "Is the pressure behind the regulator much too high even while the zone runs?",
		LocalEffect: "It regulates nothing: behind it stands the pressure of the supply, less what it loses.",
		EndEffect:   "Drip lines and nozzles get far more pressure and water than they are made for, and come apart.",
		Hazards:     []Hazard{WaterWasted, Flood, Surge},
		course:      hold("held open", always(1)),
	},
}
