package fault

import "ullage/harness/quantity"

// diaphragmFaults are those of the moving parts of a valve besides its coil, and how it was fitted.
var diaphragmFaults = []Entry{
	{
		ID: "valve.pilot-grit", Name: "grit in the pilot", DeviceKind: "valve", Needs: hasPlunger,
		Phrases: []Phrase{
			{Pattern: `grit holds the pilot of the valve {valve} open`,
				Meaning: "Once its plunger has been lifted it does not come back, and the valve stays as open as it " +
					"is with the coil on."},
		},
		Mechanism: "A grain has settled under the plunger while it was up: the pilot hole stays open when the coil " +
			"lets go, and the room over the diaphragm stays empty.",
		Symptoms: []string{
			"It opened and never shut again.",
			"The valve stays on until I take its coil off and clean it.",
			"There was sand under the plunger and it would not shut.",
			"I cleaned the solenoid's little pin and it closes again.",
		},
		Check: "Isolate power and water and relieve the pressure; then unscrew the coil and take the plunger " +
			"out: a grain or a notch on its seal is the cause. A valve whose pilot is clean has a blocked " +
			"bleed or a torn diaphragm.",
		Ask:         "Does it stay wide open after a run and shut after its coil has been off and cleaned?",
		LocalEffect: "With the coil off the valve stays as open as it is with the coil on.",
		EndEffect:   "Water runs until somebody, or another valve, shuts it off.",
		Hazards:     []Hazard{Flood, WaterWasted},
		course:      hold("pilot grit", always(1)),
	},
	{
		ID: "valve.diaphragm-torn", Name: "diaphragm torn", DeviceKind: "valve", Needs: isPilot,
		Phrases: []Phrase{
			{
				Pattern: `the diaphragm of the valve {valve} is torn[ so that it passes {share} and seats at {differential}]`,
				Meaning: "A pilot-operated valve seats with 1.5 bar at the least; seated, it passes 5 % of its Kv.",
			},
		},
		Mechanism: "Age, grit or a surge has torn the diaphragm of a pilot-operated valve: pressure leaks out of " +
			"the room over it, so that it takes a larger differential to seat, and " +
			"seated it still passes water.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.05, Worst: 0.5, Min: 1e-4, Max: 0.5,
				Source: "of the Kv, through the tear; " + practice},
			{Name: "differential", Dim: quantity.Pressure, Default: 1.5e5, Worst: 1e6, Min: 1e3, Max: 1e7,
				Source:      "at which it seats; " + practice,
				WorstSource: "torn from edge to edge; " + practice},
		},
		Symptoms: []string{
			"It does not shut fully any more.",
			"A stream goes on running after it was switched off.",
			"The tank overflowed little by little.",
			"The rubber in the valve is split.",
			"The valve passes about half the water although it is off.",
			"It shuts down to a stream but not to nothing.",
			"The membrane in the valve is perished.",
			"It used to stop, then it dribbled, now it runs half open all the time.",
		},
		Check: "Pull the controller's plug, or send a latching valve its stop again, and read the meter: what " +
			"still runs is the valve's. Isolate power and water and relieve the pressure before anybody opens " +
			"the body; then hold the diaphragm to the light.",
		Ask: "Does a steady stream, more than a drip, run on after every run, and more of it from month to " +
			"month?",
		LocalEffect: "With the coil off the disc falls until the differential is no longer enough; seated, it passes " +
			"a share of its Kv.",
		EndEffect: "Water runs day and night, little or much, until somebody, or another valve, shuts it off.",
		Hazards:   []Hazard{Flood, WaterWasted},
		course:    together(hold("weep", parameter("share")), hold("seats at", parameter("differential"))),
	},
	{
		ID: "valve.backwards", Name: "valve fitted backwards", DeviceKind: "valve", Needs: isPilot,
		Phrases: []Phrase{
			{Pattern: `the valve {valve} is fitted backwards`,
				Meaning: "The water lifts the diaphragm of a pilot-operated valve whenever there is pressure before " +
					"it, whatever the coil does."},
		},
		Mechanism: "A pilot-operated valve was put in against its arrow: the room over the diaphragm is fed from " +
			"the side without pressure, and the water lifts the diaphragm against the spring.",
		Symptoms: []string{
			"Since it was fitted it cannot be shut.",
			"It runs as soon as the tap is open.",
			"I may have installed the valve the wrong way round; it never shuts.",
			"The arrow on the new valve points against the flow.",
			"New valve, runs all the time, whatever I do.",
			"The installer put the valve in back to front.",
		},
		Check: "Look at the arrow on the body: it points with the flow.",
		Ask:   "Has it run ever since it was fitted, whenever there is pressure?",
		LocalEffect: "The valve opens whenever there is pressure before it, and shuts only when there is next to " +
			"none, whatever the coil does.",
		EndEffect: "Water runs until somebody, or another valve, shuts it off.",
		Hazards:   []Hazard{Flood, WaterWasted},
		course:    hold("backwards", always(1)),
	},
	{
		ID: "valve.bleed-open", Name: "manual bleed open", DeviceKind: "valve", Needs: hasPlunger,
		Phrases: []Phrase{
			{Pattern: `somebody leaves the bleed of the valve {valve} open`,
				Meaning: "The valve is open whatever its coil does."},
		},
		Mechanism: "Somebody has opened the valve by hand, at its bleed screw or by turning its coil, and not shut " +
			"it again.",
		Symptoms: []string{
			"Since the gardener was here one zone runs all the time.",
			"The water keeps running although it is switched off.",
			"The valve drips beside its coil.",
			"Somebody opened the valve by hand and forgot to close it.",
			"The manual lever on the valve is turned on.",
			"The little screw on top of the solenoid is loose and it waters all the time.",
			"The children or the lad played with the lever on the valve and now it will not stop.",
			"The handle on the solenoid is turned to open or manual.",
		},
		Check:       "Turn the bleed screw in and the coil hand-tight: water that stops is all there was to it.",
		Ask:         "Was somebody at the valve by hand before it began to run?",
		LocalEffect: "The valve is open whatever its coil does.",
		EndEffect:   "Water runs until somebody, or another valve, shuts it off.",
		Hazards:     []Hazard{Flood, WaterWasted},
		course:      hold("bleed open", always(1)),
	},
	{
		ID: "valve.debris", Name: "debris on the seat that washes away", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `debris holds the valve {valve} open by {opening} at its next {strokes} stroke(s)`,
				Meaning: "So often its disc comes down on debris and stays open as far; then the water has carried " +
					"it away."},
		},
		Mechanism: "A chip of pipe or a pebble lies on the seat after work on the line; each opening flushes it, " +
			"and after some it is gone.",
		Parameters: []Parameter{
			{Name: "opening", Dim: quantity.Fraction, Default: 0.1, Worst: 1, Min: 0.01, Max: 1, Source: practice},
			{Name: "strokes", Dim: quantity.Count, Default: 2, Worst: 10, Min: 1, Max: 1000,
				Source: "on which it does not shut; " + practice},
		},
		Symptoms: []string{
			"After the work on the pipes it dripped for a few days, and then it stopped by itself.",
			"It did not shut, and when I tried again it did.",
			"Since the plumber cut the pipe it does not close properly, each time a bit better.",
			"A stone or plastic shaving is caught in the valve.",
			"After the repair of the line dirt got into the valve.",
			"Since they put in a new pipe it drips between runs, and it gets better by itself.",
			"There was swarf or PTFE tape in the valve.",
		},
		Check: "Open and shut it by hand several times: debris goes, a scratched seat or a torn diaphragm does " +
			"not.",
		Ask: "Did it begin after work on the pipes, and is it better after some openings?",
		LocalEffect: "So many times the disc comes down on the debris and stays open as far as it holds it; from " +
			"then on it shuts.",
		EndEffect: "Water runs from one opening to the next; when somebody comes to look there is nothing to be seen.",
		Hazards:   []Hazard{Flood, WaterWasted, SilentFailure},
		course:    together(hold("debris", parameter("opening")), hold("debris strokes", parameter("strokes"))),
	},
}

// outputFaults are those of the switches of the controller's outputs and the wire that the coils have in common.
var outputFaults = []Entry{
	{
		ID: "output.failed-on", Name: "output failed on", DeviceKind: "valve", Needs: hasSwitch,
		Phrases: []Phrase{
			{Pattern: `the output of the valve {valve} fails on`,
				Meaning: "Its coil or motor has current whatever the controller asks. The output of a latching " +
					"valve cannot fail so."},
		},
		Mechanism: "A surge or a shorted coil has burnt through the transistor or triac that switches the coil: it " +
			"conducts whatever the controller asks. A short between any two terminals of a component is a fault " +
			"that IEC 60335-1, 19.11.2 d, has tried.",
		Symptoms: []string{
			"One zone runs all the time, even after a restart.",
			"The water keeps running although it is switched off.",
			"Only pulling the plug stops it.",
			"The relay is stuck on; the zone stays on until I cut the power.",
			"The output is on all the time whatever the app says.",
			"The box was knocked and the relay let go.",
			"A relay clicks but the valve stays powered, welded contacts.",
			"The pump output stays live after stop.",
			"The relay has stuck, a knock with a screwdriver and it lets go.",
			"The output lamp is off and the valve still has power.",
			"It stays on after the end of the run until I cycle the power.",
		},
		Check: "Switch off, and move the coil's wire to another output; with the power on again and everything " +
			"off in the display, a zone that stays shut now had a failed output, and one that runs on has a " +
			"stuck valve. A voltmeter misleads here: a triac that is off shows ghost volts until a coil loads " +
			"it.",
		Ask: "Does the water stop when the controller's plug is pulled, and come back with it although " +
			"everything is off?",
		LocalEffect: "The coil has current as long as there is a supply. The output of a latching valve cannot fail " +
			"so: it gives pulses out of a store.",
		EndEffect: "Water runs until somebody pulls the plug, or another valve shuts it off.",
		Hazards:   []Hazard{Flood, WaterWasted, Overheating},
		course:    hold("output failed", always(1)),
	},
	{
		ID: "output.failed-off", Name: "output failed off", DeviceKind: "valve", Needs: hasSwitch,
		Phrases: []Phrase{
			{Pattern: `the output of the valve {valve} fails off`,
				Meaning: "Its coil or motor has no current whatever the controller asks."},
		},
		Mechanism: "The transistor or triac has blown open, its fuse has gone or a joint on the board has cracked: " +
			"it does not conduct whatever the controller asks (IEC 60335-1, 19.11.2 b: open at a terminal).",
		Symptoms: []string{
			"App says watering but nothing is wet.",
			"One zone is dead, the others work.",
			"The display says that it runs and no water comes.",
			"The output of one zone gives nothing since the lightning.",
			"Swapped to another terminal the valve works.",
			"The terminal for that bed is dead, no click.",
			"A fuse or track on the board has blown.",
			"After lightning one output is dead, its neighbour works with the same valve.",
			"The channel does not switch any more.",
		},
		Check: "Switch off and move the coil's wire to another output: with the power on again a zone that " +
			"runs there had a failed output; one that stays dead has a coil or a wire that is open.",
		Ask:         "Does the zone run when its coil is moved to another output?",
		LocalEffect: "No current, whatever the controller asks.",
		EndEffect:   "The zone is not watered, the tank is not filled, and the controller believes that it was.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("output failed", always(-1)),
	},
	{
		ID: "coil.common-open", Name: "common wire of the coils open", DeviceKind: "power",
		Phrases: []Phrase{
			{Pattern: `the common wire of the coils breaks`,
				Meaning: "No coil and no contactor has current, whatever the outputs do."},
		},
		Mechanism: "The one wire through which the current of every coil goes back is cut or has come out of its " +
			"terminal.",
		Symptoms: []string{
			"No zone works, and the display says that all is well.",
			"App says watering but nothing is wet.",
			"The plants dried out while we were on holiday.",
			"None of the valves open any more, the controller looks normal.",
			"All the beds stopped on the same day, no click from any valve.",
			"The white wire came out and nothing waters.",
			"Everything beyond the second valve box is dead.",
			"All six valves are dead, no clicking anywhere, and the box looks normal.",
			"Nothing works in the whole garden since the fence post was put in.",
		},
		Check: "Switch off and take the common wire off its terminal. Measure the ohms from it to the wire of " +
			"each zone at the controller: a coil's ohms at every zone is a sound common, no end at all of them " +
			"is a broken one, and no end beyond one valve is a break there. One dead zone alone is another " +
			"wire.",
		Ask:         "Are all the zones dead at once, while the controller itself is well?",
		LocalEffect: "No coil has current, nor any contactor that returns through it.",
		EndEffect:   "Nothing is watered or filled; a latching or motorised valve stays where it is, also open.",
		Hazards:     []Hazard{DryOut, SilentFailure, Flood},
		course:      hold("common open", always(1)),
	},
}
