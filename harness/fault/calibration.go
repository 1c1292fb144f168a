package fault

import "ullage/harness/quantity"

// calibrationFaults are of what a probe says of the soil around it.
var calibrationFaults = []Entry{
	{
		ID: "probe.spikes", Name: "spikes on a probe", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `spikes of {spike} occur on the probe {probe} in {share} of the seconds`,
				Formerly: []string{`spikes of {spike} come on the probe {probe} in {share} of the seconds`},
				Meaning:  "In that share of the seconds its output is off by so much, up or down."},
		},
		Mechanism: "A loose plug, a fence charger or a switching contactor nearby: now and then one reading is far " +
			"off, up or down.",
		Parameters: []Parameter{
			{Name: "spike", Dim: quantity.Voltage, Default: 0.5, Worst: 5, Min: 0.01, Max: 5, Source: practice},
			{Name: "share", Dim: quantity.Fraction, Default: 0.01, Worst: 0.1, Min: 1e-4, Max: 1,
				Source: "of the seconds; " + practice},
		},
		Symptoms: []string{
			"The curve in the app has needles.",
			"The reading jumps for a moment and comes back.",
			"It waters for a second and stops again.",
			"Now and then one crazy value, then normal again.",
			"Sudden spikes in the moisture graph.",
			"The electric fence makes the reading jump.",
		},
		Check: "Look at the readings of one hour: single ones that are far off while their neighbours agree " +
			"are spikes; if all differ it is noise.",
		Ask:         "Are single readings far off while those beside them agree?",
		LocalEffect: "In that share of the seconds the output is off by the height of the spike.",
		EndEffect:   "A single reading begins a run or ends it, or raises an alert.",
		Hazards:     []Hazard{WaterWasted, DryOut, AlarmFlood},
		course:      together(hold("spike", parameter("spike")), hold("spikes", parameter("share"))),
	},
	{
		ID: "probe.in-water", Name: "probe stands in water", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `{share} of the probe {probe} stands/stand in water`,
				Meaning: "That part of its blades feels water in the place of soil."},
		},
		Mechanism: "The hole around the probe collects water, or it was put into a low spot: part of its blades " +
			"stands in water.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 1, Min: 0.01, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"It says 100 % wet and the plants are dry.",
			"The plants dried out, and it says that the soil is soaked.",
			"The sensor sits in a puddle and says wet.",
			"It says soaked though the soil around is dry, water collects at the probe.",
			"The probe sits in a hollow that fills with water.",
		},
		Check: "Pull the probe out and look into its hole: water at the bottom is the cause. Dig a finger in " +
			"half a metre away.",
		Ask:         "Does water stand in the hole when the probe is pulled out?",
		LocalEffect: "It feels water, whose permittivity is 80: wetter than any soil, or a mean of both.",
		EndEffect:   "The bed is not watered, or too little, and no alert arrives.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("flooded", parameter("share")),
	},
	{
		ID: "probe.wrong-calibration", Name: "wrong calibration of a probe", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the probe {probe} reads {factor} times the actual water content`,
				Formerly: []string{`the probe {probe} shows {factor} times the water that there is`},
				Meaning:  "What it shows is in proportion to the water content by volume, by a wrong factor."},
		},
		Mechanism: "The curve of another soil, or of another make of probe: what it shows is in proportion to the " +
			"water, by the wrong factor.",
		Parameters: []Parameter{
			{Name: "factor", Default: 1.3, Worst: 0.5, Min: 0.1, Max: 10,
				Source:      "mineral curve on organic soil and the like; " + practice,
				WorstSource: "it reads too dry, and water runs for it; " + practice},
		},
		Symptoms: []string{
			"The bed is much drier than it says.",
			"Since the new probe it waters too much.",
			"Dry it is right, and wet it is far off.",
			"The moisture percentage makes no sense for my potting soil.",
			"I chose sand but it is peat, the numbers are wrong.",
			"Straight from the beginning the soil value was too high.",
			"Since we repotted or changed the soil the reading is off.",
			"In sand it was right, in coir or peat it is much too wet.",
		},
		Check: "Take a sample of known volume (push in a ring), weigh it fresh and after a day at 105 °C: " +
			"grams of water lost, divided by its cubic centimetres, is the water content by volume that the " +
			"reading should show. Do it once when it is dry and once when it is wet: off by as much both times " +
			"is drift, off in proportion is the calibration.",
		Ask:         "Is the reading right when it is dry and far off when it is wet?",
		LocalEffect: "The reading is that many times the water that there is, and plausible.",
		EndEffect:   "The bed is kept too dry or too wet, and no alert arrives.",
		Hazards:     []Hazard{DryOut, WaterWasted, SilentFailure},
		course:      hold("gain", parameter("factor")),
	},
	{
		ID: "probe.calibration-swapped", Name: "calibration of a probe swapped", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the dry and wet points of the probe {probe} are swapped`,
				Formerly: []string{`dry and wet of the probe {probe} are swapped`},
				Meaning:  "At its dry point it puts out what it should at its wet one, and at its wet point what it should at its dry one."},
		},
		Mechanism: "The readings for dry and for wet were entered in each other's place: the output runs the other " +
			"way.",
		Symptoms: []string{
			"It waters when it is wet and stops when it is dry.",
			"It rains and the reading falls.",
			"The moisture reading goes down when I water.",
			"Wet and dry are reversed in the sensor.",
			"The soil sensor works the wrong way round.",
		},
		Check:       "Pour water on the soil at the probe: the reading must rise.",
		Ask:         "Does the reading fall when you pour water on the probe?",
		LocalEffect: "Dry soil reads as wet and wet soil as dry.",
		EndEffect:   "A bed that dries is not watered; one that is wet is watered without end.",
		Hazards:     []Hazard{DryOut, Flood, WaterWasted, SilentFailure},
		course:      hold("swapped", always(1)),
	},
	{
		ID: "probe.slow", Name: "slow probe", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the probe {probe} lags its soil with a time constant of {constant}`,
				Formerly: []string{`the probe {probe} follows its soil with a time constant of {constant}`},
				Meaning:  "In that time it has come 63 % of the way from one reading to the next."},
		},
		Mechanism: "A fouled ceramic, a heavy filter in the transmitter or poor contact with the soil: the reading " +
			"follows the soil as a lag of the first order.",
		Parameters: []Parameter{
			{Name: "constant", Dim: quantity.Duration, Default: 1800, Worst: 6 * 3600, Min: 1, Max: 7 * 86400,
				Source: "time in which it has come 63 % of the way; " + practice},
		},
		Symptoms: []string{
			"It waters far too long before it notices.",
			"The reading is still dry an hour after the rain.",
			"The sensor reacts very slowly.",
			"The value still climbs hours after the watering.",
		},
		Check: "Put the probe from dry soil into wet and write the reading down every minute: it should be " +
			"there within a few.",
		Ask:         "Does the reading come right in the end, hours late?",
		BaseRate:    Seldom,
		LocalEffect: "The reading runs after the soil.",
		EndEffect:   "Watering begins late and goes on too long; what the bed cannot hold drains.",
		Hazards:     []Hazard{WaterWasted, DryOut},
		course:      hold("lag", parameter("constant")),
	},
}
