package fault

import "ullage/harness/quantity"

var soilFaults = []Entry{
	{
		ID: "probe.dry-spot", Name: "probe in a dry spot", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the nozzle beside {probe} clogs to {share}`,
				Meaning: "No more than this share of what the bed gets on the mean falls where the probe stands."},
		},
		Mechanism: "The nozzle or emitter beside the probe clogs, or the probe was put back beside the wetted " +
			"ground: less falls there than on the bed.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.1, Worst: 0, Min: 0, Max: 0.99, Source: practice},
		},
		Symptoms: []string{
			"It waters although the bed is soaked.",
			"Water comes out below the trough.",
			"The sensor is in a corner that gets no water, so it never stops.",
			"The whole bed is mud but at the probe it is dry.",
			"The probe stands under the roof edge.",
			"The probe stands where no dripper reaches, and the rest is drowned.",
		},
		Check: "Dig a finger beside the probe and half a metre away while the zone runs: if only the one place " +
			"is dry, look at its nozzle.",
		Ask:         "Is it dry beside the probe and wet half a metre away?",
		LocalEffect: "The probe tells the truth of a place that stays dry.",
		EndEffect:   "The bed is watered on and on; what it cannot hold drains, with what it washes out.",
		Hazards:     []Hazard{WaterWasted, SilentFailure},
		course:      hold("wetting", parameter("share")),
	},
}
