package fault

import "ullage/harness/quantity"

// setupFaults are of how a controller was wired and set up.
var setupFaults = []Entry{
	{
		ID: "coil.outputs-swapped", Name: "coils of two valves swapped between outputs", DeviceKind: "valve",
		Needs: hasSecondValve,
		Phrases: []Phrase{
			{Pattern: `the coil of the valve {valve} is exchanged with that of the next valve`,
				Meaning: "Its output moves the valve of the next output that has one, after the last the first, and " +
					"the other way round."},
		},
		Mechanism: "After work at the terminals the wires of two coils were put back into each other's place.",
		Symptoms: []string{
			"The zones are mixed up: I start one and the other one runs.",
			"Two valves are connected to each other's terminals.",
			"I press lawn and the roses get it, and the other way round.",
			"Since I rewired the box the wrong bed is watered.",
			"Zone 1 opens valve 2 and zone 2 opens valve 1.",
			"The wires of two stations are swapped on the terminal strip.",
			"The wrong sprinklers come on.",
			"I start the one and the other one gets wet.",
			"The front sprinklers come on when I ask for the back.",
			"I must have crossed two wires when I put the controller back on the wall.",
			"Number three and four are the wrong way round.",
			"Tomatoes wet when it should be the hedge, hedge wet when it should be the tomatoes.",
			"The wrong beds come on when I tap them in the app.",
		},
		Check: "Start one zone after the other by hand and note which one gets water. Switch off before the " +
			"wires are put right.",
		Ask:         "When you start one zone, does the water come out at another one?",
		LocalEffect: "Each of the two outputs moves the other's valve.",
		EndEffect: "The wrong bed is watered, for as long as the other one should have been; a tank is " +
			"filled by a rule that watches another.",
		Hazards: []Hazard{Flood, DryOut, WaterWasted, SilentFailure},
		course:  hold("exchanged", always(1)),
	},
	{
		ID: "probe.wrong-zone", Name: "probe assigned to another zone", DeviceKind: "probe", Awaits: "exchanged probes",
		Phrases: []Phrase{
			{Pattern: `the lead of {probe} is exchanged with that of the next probe`},
		},
		Mechanism: "The probe was given to another zone in the settings, or two leads were exchanged at the " +
			"terminals: each zone is judged by the soil of the other.",
		Symptoms: []string{
			"The sensor is assigned to the wrong zone.",
			"The probe is in one bed but it stops the other bed.",
			"I picked the wrong line for the moisture sensor in the settings.",
			"The tomatoes go on although they are soaked, and the herbs stop instead.",
			"The two moisture sensors are mixed up between the beds.",
			"The probe in the pots decides for the lawn.",
			"When bed one is wet, bed two is skipped, and bed one gets watered all the same.",
			"I think the sensor belongs to the wrong bed in the setup.",
		},
		Check: "Pour a can of water at one probe and look which zone's reading rises, and which zone then " +
			"stops.",
		Ask:         "When you water one probe, does another zone's reading rise?",
		LocalEffect: "Each of two inputs reads the other's probe, and plausibly.",
		EndEffect:   "One bed is watered without end while the other dries out.",
		Hazards:     []Hazard{Flood, DryOut, WaterWasted, SilentFailure},
	},
	{
		ID: "controller.extra-start", Name: "extra start in a programme", DeviceKind: "controller", Awaits: "extra starts",
		Phrases: []Phrase{
			{Pattern: `the programme of a zone has an extra start`},
		},
		Mechanism: "A second start was entered, in another programme or on another phone, and nobody " +
			"remembers it.",
		Symptoms: []string{
			"It waters twice a day but I only want once.",
			"The zone runs a second time twenty minutes later, every day.",
			"There are two start times and I set only one.",
			"My wife also put a schedule in on her phone.",
			"The same zone comes on again later every morning, double watering.",
			"An old programme is still in it.",
			"It runs at times that I never entered.",
			"It comes on by itself at a time that is not mine.",
			"Watered at six and again at half past six, I only want once.",
			"My son set one up as well in his app, now it runs double.",
		},
		Check: "Read the list of start times of the zone, in every programme and on every phone that has the " +
			"app: each of them is a start.",
		Ask:         "Does the list of starts show one more than you want?",
		BaseRate:    Often,
		LocalEffect: "The zone has one run more than is wanted, as it was told.",
		EndEffect:   "The bed is watered twice; where two starts overlap the pressure is not enough for both.",
		Hazards:     []Hazard{WaterWasted, Flood},
	},
	{
		ID: "coil.corroded", Name: "corroded joint of a coil's cable", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `a corroded joint adds {resistance} to the cable of the valve {valve}`,
				Meaning: "The resistance stands in series with its coil."},
		},
		Mechanism: "Damp in a splice or at a terminal puts a resistance into the circuit of the coil: less " +
			"voltage is left for it, on damp days too little.",
		Parameters: []Parameter{
			{Name: "resistance", Dim: quantity.Resistance, Default: 100, Worst: 1000, Min: 0.1, Max: 1e6, Source: practice},
		},
		Symptoms: []string{
			"The valve works on some days and not on others.",
			"The wire nuts in the valve box are green with corrosion.",
			"The joint in the junction box is rotten and one wire is loose.",
			"The zone opens now and then, when I wiggle the wires it works.",
			"Water got into the splice and the solenoid only hums weakly.",
			"High resistance in the zone's wiring, intermittent.",
			"Wires in the valve box are rotten and it works only sometimes.",
			"The connectors are wet and green, the zone comes and goes.",
			"The cable joint under the soil has corroded.",
			"After rain one zone does not come on, when it dries it works again.",
		},
		Check: "Switch off, take the zone's two wires off the controller and measure their ohms in dry and " +
			"in wet weather, while somebody moves the splice: well above a coil's, or jumping, is a bad " +
			"joint. Isolate the power before the box is opened.",
		Ask:         "Does this zone come and go, and does moving its wires or a dry day bring it back?",
		LocalEffect: "Less current through the coil; it pulls in late, or not at all.",
		EndEffect:   "The zone is watered on some days and not on others, and nothing says so.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("coil lead", parameter("resistance")),
	},
}
