package fault

import "ullage/harness/quantity"

// meterFaults are those of water meters.
var meterFaults = []Entry{
	{
		ID: "meter.stuck", Name: "meter stuck", DeviceKind: "meter",
		Phrases: []Phrase{
			{Pattern: `the meter {meter} sticks`,
				Meaning: "Its impeller stands: water passes as before, and no pulse comes."},
		},
		Mechanism: "Sand, a thread of hemp or scale jams the impeller, or its magnet has slipped: water passes as before, " +
			"and nothing is counted.",
		Symptoms: []string{
			"It reports no flow although the sprinklers run.", "The water meter does not move while water runs.",
			"The app shows zero litres used.", "The flow meter is dead.",
			"Every run ends with a no flow alarm, but the beds are wet.",
		},
		Check: "Look at the star or the last digit of the meter while a zone runs: one that stands is jammed; one that " +
			"turns while nothing is counted has a failed contact or lead.",
		Ask:         "Do the beds get wet while the controller says that no water flows?",
		LocalEffect: "Water passes, and no pulse comes.",
		EndEffect: "The controller takes every run for one without water, and no leak is noticed: the one alert comes " +
			"all the time, the other never.",
		Hazards: []Hazard{SilentFailure, AlarmFlood, WaterWasted},
		course:  hold("stuck", always(1)),
	},
	{
		ID: "meter.misses-pulses", Name: "meter misses pulses", DeviceKind: "meter",
		Phrases: []Phrase{
			{Pattern: `the meter {meter} misses {share} of its pulses`,
				Meaning: "For this share of the pulses, taken by chance, its contact does not close."},
		},
		Mechanism: "The reed is worn, the pick-up sits loose or the lead is corroded: for a share of the pulses the " +
			"contact does not close.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 0.95, Min: 0, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"The app counts far less water than the dial of the meter.", "The litres do not add up with the water bill.",
			"The flow reading jumps up and down while the zone runs evenly.", "It uses less water every month, on paper.",
		},
		Check: "Read the dial before and after a run and compare it with what the controller has counted; then see that " +
			"the pick-up sits firmly on the meter.",
		Ask:         "Does the dial of the meter show more litres than the controller has counted?",
		LocalEffect: "Fewer pulses come than water passes for.",
		EndEffect:   "A leak is noticed late or never, and a run with water may count as one without.",
		Hazards:     []Hazard{SilentFailure, WaterWasted},
		course:      hold("misses", parameter("share")),
	},
}
