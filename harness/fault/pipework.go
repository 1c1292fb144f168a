package fault

import "ullage/harness/quantity"

// wholePipe is wider than any pipe, in m: a pipe that has come off is open over its whole bore.
const wholePipe = 2

var pipeworkFaults = []Entry{
	{
		ID: "pipe.leak", Name: "pipe leaks", DeviceKind: "pipe",
		Phrases: []Phrase{
			{Pattern: `a hole of {hole} opens in the pipe {pipe}`,
				Meaning: "Water gets out of the pipe at its far end through a round hole of this diameter."},
		},
		Mechanism: "A nail, a spade, a gnawed hole or a joint that was not pushed home lets water out under pressure.",
		Parameters: []Parameter{
			{Name: "hole", Dim: quantity.Length, Default: 1e-3, Worst: 5e-3, Min: 1e-4, Max: 20e-3, Source: practice},
		},
		Symptoms: []string{
			"The water bill is higher than it should be.",
			"There is a green patch along the pipe.",
			"The water bill has doubled.",
			"The meter keeps turning though all is off.",
			"The ground is soggy along the pipe, also between runs.",
			"A joint drips under the path, we use more water than we should.",
			"The pipe has a pinhole and sprays a fine jet.",
			"Consumption is too high, leak alert again.",
		},
		Check:       "Shut every outlet and read the meter twice, an hour apart.",
		Ask:         "Does the meter turn with every outlet shut?",
		BaseRate:    Often,
		LocalEffect: "Water gets out whenever there is pressure in the pipe, with the square root of it.",
		EndEffect:   "Water is wasted day and night before a valve, and during every run behind it.",
		Hazards:     []Hazard{WaterWasted, Flood},
		course:      hold("hole", parameter("hole")),
	},
	{
		ID: "pipe.burst", Name: "pipe bursts", DeviceKind: "pipe",
		Phrases: []Phrase{
			{Pattern: `the pipe {pipe} bursts[ with a hole of {hole}]`,
				Meaning: "A hole of 8 mm opens at its far end."},
		},
		Mechanism: "Frost, a pressure surge or age splits the wall.",
		Parameters: []Parameter{
			{Name: "hole", Dim: quantity.Length, Default: 8e-3, Worst: 20e-3, Min: 1e-3, Max: 50e-3, Source: practice},
		},
		Symptoms: []string{
			"Water shoots out of the ground.",
			"The pipe is broken.",
			"Nothing comes out of the sprays any more.",
			"A fountain in the middle of the bed, the tube has split.",
			"The pipe burst and used a huge amount of water.",
			"The hose has ruptured, it is flooding the garden.",
			"Frost cracked the pipe or a valve's plastic body and water squirts out.",
			"Water gushes out of the ground, the pressure is gone.",
			"The valve cracked in the winter and sprays from its side.",
		},
		Check: "Shut the water off, then look for water on the ground; if you must, let one zone run for a " +
			"moment and look for a pressure that is gone. Isolate the water and relieve the pressure before " +
			"the pipe is dug out or cut, and mind cables.",
		Ask:         "Does a lot of water come out at one place, with hardly any left for the sprays?",
		BaseRate:    Often,
		LocalEffect: "Most of the water gets out there, and the pressure behind it is gone.",
		EndEffect:   "Nothing behind the burst is watered or filled while water runs where it does harm.",
		Hazards:     []Hazard{Flood, WaterWasted, DryOut},
		course:      hold("hole", parameter("hole")),
	},
	{
		ID: "pipe.off", Name: "hose comes off", DeviceKind: "pipe",
		Phrases: []Phrase{
			{Pattern: `the pipe {pipe} comes off`,
				Meaning: "Its far end lies in the open, over the whole of its bore."},
		},
		Mechanism: "A hose slips off its fitting or a push-fit joint lets go: the pipe ends in the open, with its " +
			"whole bore.",
		Symptoms: []string{
			"I found the hose lying beside the tap, running.",
			"The hose popped off the connector.",
			"The coupling came apart and everything ran into the yard.",
			"A joint pulled out, water pours from the open end.",
		},
		Check: "Walk along the line while it runs: one end lies open. Shut the water off and relieve the " +
			"pressure before it is put back.",
		Ask:         "Does one end of a hose or pipe lie loose beside its fitting?",
		LocalEffect: "As much runs out as the way there lets through; next to nothing goes further.",
		EndEffect:   "The zone stays dry and its water runs away.",
		Hazards:     []Hazard{Flood, WaterWasted, DryOut},
		course:      hold("hole", always(wholePipe)),
	},
	{
		ID: "filter.loaded", Name: "filter loaded", DeviceKind: "filter",
		Phrases: []Phrase{
			{Pattern: `the filter {filter} is blocked by {share}`,
				Meaning: "So much of its passage is blocked, besides what the water of the run blocks."},
		},
		Mechanism: "Sand, rust and algae sit before the screen, and nobody has cleaned it: a share of its passage " +
			"is blocked.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.9, Worst: 1, Min: 0, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"It gets weaker from week to week.",
			"The plants dried out while we were on holiday.",
			"The last drippers of the line give nothing.",
			"Over a month all beds got less and less water.",
			"The mesh or strainer at the tap was full of brown sludge.",
			"Everything has got weaker gradually, on every zone.",
			"The filter is dirty and clogged with sand.",
			"The flow falls slowly week after week; cleaning the screen helps.",
		},
		Check: "Isolate the water and relieve the pressure, then take the screen out and look; or compare the " +
			"gauges before and behind it while a zone runs.",
		Ask:         "Have all the zones become weaker alike, over weeks?",
		BaseRate:    Often,
		LocalEffect: "The filter passes less at the same loss of pressure.",
		EndEffect:   "Zones get less water in the same run time, and nothing says so.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("loading", parameter("share")),
	},
	{
		ID: "nozzle.clogged", Name: "nozzles clogged", DeviceKind: "outlet", Needs: hasNozzles,
		Phrases: []Phrase{
			{Pattern: `the nozzles of {outlet} are clogged by {share}`,
				Meaning: "Each of its openings has so much less area, and gives so much less at the same pressure."},
		},
		Mechanism: "Scale, sand or insects narrow the openings: they have a share less of their area.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 1, Min: 0, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"Half of the bed stays dry.",
			"One sprinkler head sprays crooked, it is dirty.",
			"The spray nozzle is blocked, only a thin jet comes.",
			"The misting nozzles are blocked with lime.",
			"Patches of the lawn stay dry, some sprinklers hardly spray.",
		},
		Check: "Shut the zone off and relieve the pressure, take a nozzle out and let the line run for a " +
			"moment, your face away from it and no fog to breathe: a sound line runs freely, and the nozzle " +
			"held to the light shows what is in it.",
		Ask:         "Are single sprays weak or crooked while their neighbours are well?",
		LocalEffect: "Less flow at the same pressure.",
		EndEffect:   "The bed gets less water in the same run time.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("passage", func(p func(string) float64) float64 { return 1 - p("share") }),
	},
	{
		ID: "emitter.clogged", Name: "emitters clogged", DeviceKind: "lateral",
		Phrases: []Phrase{
			{Pattern: `the emitters of {lateral} are clogged by {share}`,
				Meaning: "Each of its emitters has so much less area, and gives so much less at the same pressure."},
		},
		Mechanism: "Lime, iron or slime narrows the labyrinths of the emitters: they have a share less of their area.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 1, Min: 0, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"The plants at the drip line wilt although it runs every day.",
			"Some drippers give nothing, others on the same row are fine.",
			"The drip emitters are clogged with limescale, hard water.",
			"White crust on the drippers, half of them are dead.",
			"The drip holes are blocked, some plants get no water.",
			"The soaker hose only weeps in places.",
		},
		Check:       "Hold a cup under emitters along the line for a minute each and compare.",
		Ask:         "Do single drippers give nothing while others on the same line are well?",
		BaseRate:    Often,
		LocalEffect: "Less flow at the same pressure.",
		EndEffect:   "The bed gets less water in the same run time.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("passage", func(p func(string) float64) float64 { return 1 - p("share") }),
	},
	{
		ID: "emitter.off", Name: "emitter torn off", DeviceKind: "lateral",
		Phrases: []Phrase{
			{Pattern: `an emitter of {lateral} is torn off[ and leaves a hole of {hole}]`,
				Meaning: "A hole of 3 mm is open at the far end of one line."},
		},
		Mechanism: "A rake or a foot tears an emitter off a line, and the hole that it sat in is open.",
		Parameters: []Parameter{
			{Name: "hole", Dim: quantity.Length, Default: 3e-3, Worst: 4e-3, Min: 1e-3, Max: 10e-3,
				Source:      "usual punches for emitters make 2.5 to 4 mm (common practice, no source)",
				WorstSource: "the widest of these punches"},
		},
		Symptoms: []string{
			"There is a puddle at one place, and the rest gets little.",
			"A sprinkler head flew off and there is a fountain.",
			"A dripper fell out and it shoots up there.",
			"Somebody kicked the sprinkler head off.",
			"The strimmer or mower took the head off, water gushes there.",
		},
		Check:       "Walk along the line while it runs and look for a jet. Shut the water off before it is plugged.",
		Ask:         "Does a jet stand at one place of the line or head?",
		LocalEffect: "One hole gives as much as many emitters; the pressure in the lines falls.",
		EndEffect:   "The bed is watered unevenly, and water runs away.",
		Hazards:     []Hazard{WaterWasted, DryOut},
		course:      hold("hole", parameter("hole")),
	},
	{
		ID: "line.off", Name: "end of a drip line off", DeviceKind: "lateral",
		Phrases: []Phrase{
			{Pattern: `the end of a line of {lateral} comes off`,
				Meaning: "One line is open at its far end, over the whole of its bore."},
		},
		Mechanism: "The plug at the end of one line comes off, and the line is open over its whole bore.",
		Symptoms: []string{
			"A stream comes out of the end of the drip line.",
			"The end cap of the drip hose came off.",
			"The stopper at the end of the row is missing and it all runs out there.",
		},
		Check: "Walk along the line while it runs: its far end lies open. Shut the water off before it is " +
			"plugged.",
		Ask:         "Does water stream from the far end of one drip line?",
		LocalEffect: "Most of the water runs out of that line.",
		EndEffect:   "The bed gets little and water runs away; a tank that feeds the line is emptied.",
		Hazards:     []Hazard{WaterWasted, DryOut},
		course:      hold("hole", always(wholePipe)),
	},
	{
		ID: "throttle.turned", Name: "hand valve turned", DeviceKind: "throttle",
		Phrases: []Phrase{
			{Pattern: `somebody sets the throttle {throttle} to {set}`,
				Meaning: "The hand valve passes this share of its capacity."},
		},
		Mechanism: "Somebody has turned a hand valve and not turned it back.",
		Parameters: []Parameter{
			{Name: "set", Dim: quantity.Fraction, Default: 0.05, Worst: 0, Min: 0, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"Since the gardener was here the lawn stays dry.",
			"Somebody half closed the hand valve.",
			"A tap on the manifold was shut, that bed gets nothing.",
			"The isolation valve was not opened again after the work.",
		},
		Check:       "Compare the position of the handle with the drawing, and ask who was there.",
		Ask:         "Has a hand valve been turned since it last worked?",
		LocalEffect: "The hand valve passes another share of its capacity.",
		EndEffect:   "What is behind it gets less water, or none.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("set", parameter("set")),
	},
}
