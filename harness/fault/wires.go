package fault

import "ullage/harness/quantity"

// wireFaults are those of what lies between the water or the soil and the terminals: leads, returns, connectors, the
// waves under a float, and probes.
var wireFaults = []Entry{
	{
		ID: "contact.wet-connector", Name: "wet connector of a contact", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `water in a connector leaks {resistance} across {contact}`,
				Meaning: "So much resistance lies between the two wires of the contact, whatever it does."},
		},
		Mechanism: "Water in a connector or a splice carries current between the two wires, whatever the contact does.",
		Parameters: []Parameter{
			{Name: "resistance", Dim: quantity.Resistance, Default: 2e3, Worst: 100, Min: 100, Max: 1e9,
				Source: practice},
		},
		Symptoms: []string{
			"After rain it thinks that the tank is full.",
			"It fills only in dry weather.",
			"Water is in the plug of the float switch.",
			"After a downpour the level reads full and nothing fills.",
			"Damp in the junction box makes the float read wrong.",
			"When it rains the level jumps to full, when it dries it is right again.",
		},
		Check: "Switch off, unplug the connector, dry it and look again; measure the ohms between the lead's " +
			"two wires with the contact open and the lead off the controller: it should be beyond a megohm.",
		Ask: "Does the false level reading come with rain and go when the plug has dried?",
		LocalEffect: "The resistance divides the pull-up's voltage: an open contact reads as closed when it is low " +
			"enough, between the thresholds as it was before.",
		EndEffect: "As a jammed float; a normally closed cut-off no longer operates.",
		Hazards:   []Hazard{Flood, DryOut, DryRunning, SilentFailure},
		course:    hold("leak", parameter("resistance")),
	},
	{
		ID: "contact.shorted", Name: "lead of a contact shorted", DeviceKind: "contact",
		Opposite: "contact.broken-lead",
		Phrases: []Phrase{
			{Pattern: `the lead of {contact} is shorted`, Formerly: []string{`the wires of {contact} touch`},
				Meaning: "The terminal of the contact sees a closed circuit."},
		},
		Mechanism: "A staple, a spade or a mouse has brought the two wires of the lead together.",
		Symptoms: []string{
			"It says that the tank is empty, whatever I do with the float.",
			"A staple through the float's cable, the level never changes.",
			"The level input is on all the time, the cable is squashed.",
		},
		Check: "Switch off, take the float's lead off at both ends and measure the ohms between its wires: " +
			"next to nothing is a short. With the lead on, a jammed switch looks the same.",
		Ask: "Do the lead's two wires measure closed with both ends unplugged?",
		LocalEffect: "The terminal lies at ground: a normally open contact reads operated, a normally closed one " +
			"released.",
		EndEffect: "A low contact calls for water without end; a normally closed cut-off no longer operates.",
		Hazards:   []Hazard{Flood, DryOut, DryRunning, WaterWasted},
		course:    hold("short", always(1)),
	},
	{
		ID: "contact.lifted-return", Name: "return of a contact lifted by coils", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the return of {contact} shares {resistance} with the coils`,
				Meaning: "The current of every coil that is on passes so much resistance on its way back, and lifts " +
					"the return of the contact."},
		},
		Mechanism: "Contact and coils share one return wire: the coils' current makes a voltage over it that the " +
			"input sees behind a closed contact.",
		Parameters: []Parameter{
			{Name: "resistance", Dim: quantity.Resistance, Default: 3.5, Worst: 10, Min: 0.1, Max: 100,
				Source: "30 m of 0.15 mm² copper: 3.5 ohm; range: " + practice},
		},
		Symptoms: []string{
			"The float works when nothing runs.",
			"It fills in lots of short bursts.",
			"The level reading is wrong while the pump or valves run.",
		},
		Check: "Read the log of the float's input while every coil is on and then while all are off: a contact " +
			"that reads open only while coils are on has a lifted return. Give it a return wire of its own, " +
			"with the power off.",
		Ask:      "Does the float read wrong only while valves are on?",
		BaseRate: Seldom,
		LocalEffect: "While the coils draw current a closed contact reads as open, or as it was before when the " +
			"voltage stays between the thresholds.",
		EndEffect: "A high contact does not end the fill whose valves lift it; a low contact ends what it began.",
		Hazards:   []Hazard{Flood, DryOut, DryRunning, AlarmFlood},
		course:    hold("return", parameter("resistance")),
	},
	{
		ID: "tank.slosh", Name: "water in a tank sloshes while it fills", DeviceKind: "tank", Needs: hasInlet,
		Phrases: []Phrase{
			{Pattern: `the water in {tank} sloshes by {height} while it fills`,
				Formerly: []string{`the water in {tank} swings by {height} while it fills`},
				Meaning: "While its inlets run, crests at the wall grow to so much above still water; floats near " +
					"their levels follow each wave."},
		},
		Mechanism: "The jet of the inlet sets the water swinging from wall to wall; it grows over some waves and " +
			"dies away when the inlet shuts.",
		Parameters: []Parameter{
			{Name: "height", Dim: quantity.Length, Default: 0.02, Worst: 0.1, Min: 1e-3, Max: 0.5,
				Source: "crests at the wall; a hundredth of a garden tap's jet power against a damping of 1 % makes " +
					"2 cm; " + practice},
		},
		Symptoms: []string{
			"When the tank is nearly full the valve goes on and off.",
			"The float clicks with every wave.",
			"Waves in the tank make the float go up and down, and the valve with it.",
			"The water is choppy while it fills and the valve chatters.",
			"Ripples at the mark switch it on and off.",
			"Waves from the inlet make the float bob and the valve stutter.",
			"The surface is wavy and the valve hammers on and off with it.",
		},
		Check: "Look at the water while it fills: the float moves in step with the waves; a baffle or a pipe " +
			"that ends under a diffuser calms them. Keep the air gap.",
		Ask: "Do waves lift the float while the inlet runs?",
		LocalEffect: "A float within a crest of its level follows each wave: its contact opens and closes every " +
			"half second or so.",
		EndEffect: "Fills end early or are cut into pieces; the valve wears, the pipes knock, alerts repeat.",
		Hazards:   []Hazard{Surge, AlarmFlood, Flood},
		course:    hold("slosh", parameter("height")),
	},
	{
		ID: "probe.shorted-to-supply", Name: "lead of a probe shorted to its supply", DeviceKind: "probe",
		Opposite: "probe.unplugged",
		Phrases: []Phrase{
			{Pattern: `the lead of {probe} touches its supply`,
				Meaning: "The analogue input lies at the voltage that feeds the probe."},
		},
		Mechanism: "A crushed cable brings the signal wire to the one that feeds the probe.",
		Symptoms: []string{
			"It waters and waters.",
			"It waters in the rain.",
			"The cable was crushed and the value is at maximum.",
			"The sensor reads bone dry whatever I do, and it waters on.",
		},
		Check: "Switch off, unplug the probe at the controller, switch on: the reading leaves full scale. Then " +
			"measure the ohms between the lead's wires, unplugged at both ends.",
		Ask: "Is the reading at one end of its scale, and does it leave it when the probe is unplugged at the " +
			"controller?",
		LocalEffect: "The input lies at the rail: full scale of the converter.",
		EndEffect:   "Read as soil it is as dry as can be: the bed is watered without end.",
		Hazards:     []Hazard{Flood, WaterWasted, SilentFailure},
		course:      hold("short", always(1)),
	},
	{
		ID: "probe.shorted-to-ground", Name: "lead of a probe shorted to ground", DeviceKind: "probe",
		Opposite: "probe.unplugged",
		Phrases: []Phrase{
			{Pattern: `the lead of {probe} touches ground`,
				Meaning: "The analogue input lies at ground."},
		},
		Mechanism: "A crushed cable, or water in the plug, brings the signal wire to ground.",
		Symptoms: []string{
			"It says 100 % wet and the plants are dry.",
			"It always says 100 percent wet, even in the air.",
			"Water got inside the sensor, there are drops behind the seal, it reads wet all the time.",
			"The soil probe shows fully wet in dry air, moisture in its electronics.",
			"Fully wet for ever, also on the windowsill, condensation under its cap.",
			"There is water in the head of the moisture probe.",
			"Dew inside its window and stuck at 100.",
		},
		Check: "Switch off, unplug the probe at its own end, switch on: if the reading stays at zero volts, " +
			"the lead is at fault and not the probe.",
		Ask:         "Does the reading stay at its end with the probe unplugged at its own end?",
		LocalEffect: "The input lies at ground: the converter reads zero.",
		EndEffect:   "Read as soil it is as wet as can be: the bed is not watered.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("short", always(-1)),
	},
	{
		ID: "probe.noisy", Name: "noisy probe", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the probe {probe} is noisy by {noise}`,
				Meaning: "Its output is off by another amount each second; the voltage is their rms."},
		},
		Mechanism: "A failing regulator, a radio or a pump's drive nearby puts noise on the output.",
		Parameters: []Parameter{
			{Name: "noise", Dim: quantity.Voltage, Default: 0.05, Worst: 0.5, Min: 1e-4, Max: 5,
				Source: "rms; " + practice},
		},
		Symptoms: []string{
			"The curve in the app looks like grass.",
			"The moisture value jitters all the time.",
			"The graph is a fuzzy band instead of a line.",
			"The numbers are jumpy and never settle.",
			"The moisture curve is ragged like a saw.",
		},
		Check:       "Write down ten readings a second apart, with the pump and the lamps on, then off.",
		Ask:         "Do all the readings differ from each other, whatever is switched on?",
		LocalEffect: "Each reading is off by another amount.",
		EndEffect:   "One low reading begins a run and one high reading ends it.",
		Hazards:     []Hazard{WaterWasted, DryOut, AlarmFlood},
		course:      hold("noise", parameter("noise")),
	},
	{
		ID: "probe.drift", Name: "probe has drifted", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the probe {probe} reads {shift} above the actual water content`,
				Formerly: []string{`the probe {probe} shows {shift} more water than there is`},
				Meaning:  "It has drifted by so much water content by volume."},
			{Pattern: `the probe {probe} reads {-shift} below the actual water content`,
				Formerly: []string{`the probe {probe} shows {-shift} less water than there is`},
				Meaning:  "It has drifted by so much water content by volume."},
		},
		Mechanism: "Salts, a worn coating or air gaps at the blades shift what the probe feels.",
		Parameters: []Parameter{
			{Name: "shift", Dim: quantity.Fraction, Default: 0.05, Worst: -0.2, Min: -0.5, Max: 0.5,
				Source:      "water content by volume; " + practice,
				WorstSource: "it reads too dry, and water runs for it; " + practice},
		},
		Symptoms: []string{
			"It was right last year.",
			"The value has crept over the years, no sudden change.",
			"The old sensor shows the same number for drier soil than before.",
			"The moisture sensor is getting less accurate with age.",
			"It reads too wet now, in the first year it was right.",
			"Year by year it reads a bit wetter for the same soil.",
			"Forty percent used to be right and now it is dusty at forty.",
			"The sensor is old and has lost its accuracy, slowly.",
		},
		Check: "Put the probe into water and then hold it in air, dry: compare both readings with those of its " +
			"calibration.",
		Ask:         "Has it gone off slowly, over months or years, by as much when dry as when wet?",
		LocalEffect: "The reading is off, and still plausible.",
		EndEffect:   "The bed is kept too dry or too wet, and no alert arrives.",
		Hazards:     []Hazard{DryOut, WaterWasted, SilentFailure},
		course:      hold("drift", parameter("shift")),
	},
	{
		ID: "probe.stuck", Name: "reading of a probe stuck", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the probe {probe} is stuck`,
				Meaning: "Its output stays what it is at that moment."},
		},
		Mechanism: "The oscillator or the transmitter has locked up: the output stays what it was.",
		Symptoms: []string{
			"The curve in the app has been level for days.",
			"The reading of the soil is always the same.",
			"The moisture has said the same number for weeks.",
			"The value is frozen, rain or shine.",
			"It has shown the same percentage since Easter, in rain and in drought.",
			"The soil value does not budge, whatever I do.",
		},
		Check:       "Water the soil at the probe by hand: a reading that does not move in ten minutes is stuck.",
		Ask:         "Does the reading not move at all when you pour water at the probe?",
		LocalEffect: "The voltage does not change any more, and is plausible.",
		EndEffect:   "Stuck wet the bed dries out; stuck dry it is watered until the cycle limit.",
		Hazards:     []Hazard{DryOut, Flood, WaterWasted, SilentFailure},
		course:      hold("stuck", always(1)),
	},
	{
		ID: "probe.out-of-soil", Name: "probe out of the soil", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `{share} of the probe {probe} stands/stand in air`,
				Meaning: "That part of its blades feels air in the place of soil."},
		},
		Mechanism: "Somebody has pulled the probe out, or the soil has washed away: part of its blades stands in air.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 1, Worst: 1, Min: 0.01, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"The probe lies beside the bed, and it waters.",
			"The kids pulled the sensor out of the ground.",
			"The soil has sunk and half of the probe is bare.",
			"The moisture sensor fell over and now it never stops watering.",
			"The stick is lying on the path, the cat or the fox pulled it out, and it watered all night.",
		},
		Check:       "Look at it: its blades must stand in soil up to the mark.",
		Ask:         "Does the probe lie or stand in the air?",
		LocalEffect: "It feels air, whose permittivity is 1: drier than any soil, or a mean of both.",
		EndEffect:   "The bed is watered without end, or too much.",
		Hazards:     []Hazard{Flood, WaterWasted, SilentFailure},
		course:      hold("exposed", parameter("share")),
	},
	{
		ID: "probe.hum", Name: "mains hum on a probe's lead", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `mains hum of {current} couples into the lead of {probe}`,
				Meaning: "An alternating current of that amplitude flows into what the lead is connected to: " +
					"nothing much while the probe is plugged in, the input's impedance when it is not."},
		},
		Mechanism: "The lead lies beside mains cables, whose voltage drives a current through the capacitance " +
			"between them. A probe that is plugged in " +
			"drains it away; on an open lead it makes volts over the impedance of the input.",
		Parameters: []Parameter{
			{Name: "current", Dim: quantity.Current, Default: 1e-6, Worst: 50e-6, Min: 1e-9, Max: 1e-3,
				Source: "amplitude; 2 pi f C V of 230 V, 50 Hz and 10 pF, 20 cm side by side at 50 pF/m; " +
					practice,
				WorstSource: "10 m side by side at 50 pF/m; arithmetic"},
		},
		Symptoms: []string{
			"The reading swings when the lamps are on.",
			"The reading jumps about while the grow lights are on and is steady when they are off.",
			"The sensor cable runs beside a power cable and the values are all over the place.",
			"Interference from the mains on the moisture sensor.",
			"When the heater or pump is on the soil value goes crazy.",
			"The value goes wild when the lights or the heating mat come on, its cable lies next to the mains lead.",
			"Steady by day, jumps when the lamps are on.",
			"All over the shop when the heater fan is running, fine otherwise.",
		},
		Check: "Switch the lamps, the fence and the pumps off one by one and watch the reading: what calms it " +
			"is what couples in. Keep its lead apart from mains cables.",
		Ask: "Does the reading calm down when a lamp, a charger or a mains cable beside its lead is switched " +
			"off?",
		LocalEffect: "Each reading is that of another moment of the wave.",
		EndEffect:   "An unplugged probe looks dry now and wet then, and plausible in between.",
		Hazards:     []Hazard{WaterWasted, SilentFailure, AlarmFlood},
		course:      hold("hum", parameter("current")),
	},
	{
		ID: "probe.fails-low", Name: "transmitter reports a failure, low", DeviceKind: "probe", Needs: hasTransmitter,
		Phrases: []Phrase{
			{Pattern: `the transmitter of {probe} reports a failure by a low current`,
				Meaning: "The current of its loop is 3.6 mA (NE 43). A probe that puts out volts has no transmitter."},
		},
		Mechanism: "The transmitter has found a fault of its own and says so with 3.6 mA, as NAMUR NE 43 asks for.",
		Symptoms: []string{
			"The transmitter's light is red and the app says nothing.",
			"The loop current is under four milliamps.",
		},
		Check: "Read the transmitter's own message or light. Where a meter is in the loop already: below 3.6 " +
			"mA is a failure, not a dry soil.",
		Ask:         "Does the transmitter itself show a failure, with a current below its range?",
		BaseRate:    Seldom,
		LocalEffect: "The current is below the measuring range.",
		EndEffect:   "Taken for soil it is very dry, or very wet.",
		Hazards:     []Hazard{Flood, DryOut, SilentFailure},
		course:      hold("failing", always(-1)),
	},
	{
		ID: "probe.fails-high", Name: "transmitter reports a failure, high", DeviceKind: "probe", Needs: hasTransmitter,
		Phrases: []Phrase{
			{Pattern: `the transmitter of {probe} reports a failure by a high current`,
				Meaning: "The current of its loop is 21 mA (NE 43). A probe that puts out volts has no transmitter."},
		},
		Mechanism: "The transmitter has found a fault of its own and says so with 21 mA, as NAMUR NE 43 asks for.",
		Symptoms: []string{
			"The transmitter's light is red and the app says nothing.",
			"The loop current is over twenty milliamps.",
		},
		Check: "Read the transmitter's own message or light. Where a meter is in the loop already: above 21 mA " +
			"is a failure, not a wet soil.",
		Ask:         "Does the transmitter itself show a failure, with a current above its range?",
		BaseRate:    Seldom,
		LocalEffect: "The current is above the measuring range.",
		EndEffect:   "Taken for soil it is very wet, or very dry.",
		Hazards:     []Hazard{Flood, DryOut, SilentFailure},
		course:      hold("failing", always(1)),
	},
}
