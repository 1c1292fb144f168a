package fault

// listedFaults happen to what is not simulated: they are listed, so that a customer's words find them.
var listedFaults = []Entry{
	{
		ID: "rain-sensor.stuck-wet", Name: "rain sensor stuck wet", DeviceKind: "rain sensor", Awaits: "rain sensors",
		Phrases: []Phrase{
			{Pattern: `the rain sensor is stuck wet`},
		},
		Mechanism: "Leaves, a nest or swollen discs hold water in the sensor, or its wire is broken where an " +
			"open circuit means rain: it says rain under a blue sky.",
		Symptoms: []string{
			"It says paused for rain but it is sunny.",
			"The rain sensor is full of leaves and still wet.",
			"It never waters, the rain sensor thinks that it rains.",
			"It skips because of rain that never fell.",
			"Dry for a week and the rain stop is still active.",
		},
		Check: "Empty and dry the sensor's cup or disc and wait: if it waters again, it had been stuck wet. " +
			"Look whether the app says paused for rain under a blue sky.",
		Ask:         "Does it say rain although it has been dry for days?",
		LocalEffect: "The input says rain whatever the weather.",
		EndEffect:   "Programmes are skipped for as long as nobody looks; the beds dry out.",
		Hazards:     []Hazard{DryOut, SilentFailure},
	},
	{
		ID: "rain-sensor.stuck-dry", Name: "rain sensor stuck dry", DeviceKind: "rain sensor", Awaits: "rain sensors",
		Phrases: []Phrase{
			{Pattern: `the rain sensor is stuck dry`},
		},
		Mechanism: "A roof, a tree or a bird's nest keeps the rain off the sensor, its wire is cut, or a " +
			"bypass switch was left on: it never says rain.",
		Symptoms: []string{
			"It watered in the pouring rain.",
			"The rain sensor does not stop the watering.",
			"The sprinklers run while it rains.",
			"The rain sensor is bypassed or not connected.",
		},
		Check: "Pour water into the sensor: the app must say rain. If not, look for a bird's nest over it, a " +
			"roof or a tree above it, a cut wire or a bypass switch.",
		Ask:         "Does the app say nothing of rain when you pour water into the rain sensor?",
		LocalEffect: "The input says dry whatever the weather.",
		EndEffect:   "It waters in the rain.",
		Hazards:     []Hazard{WaterWasted},
	},
	{
		ID: "alert.muted", Name: "alert muted on the phone", DeviceKind: "phone", Awaits: "phones",
		Phrases: []Phrase{
			{Pattern: `the alerts are muted on the phone`},
		},
		Mechanism: "Notifications are off, on do not disturb or go to an account that nobody reads: the " +
			"alert arrived and nobody noticed.",
		Symptoms: []string{
			"The warning is in the app but the phone never rang.",
			"Notifications are switched off or on do not disturb.",
			"No push message, I found the alarm later in the list.",
			"The alert went to the spam folder or to my old phone.",
		},
		Check: "Look in the app's list of alerts and in the phone's own settings for notifications: an alert " +
			"that is in the list and made no sound was muted.",
		Ask:         "Is the alert in the app's list, and did the phone make no sound?",
		LocalEffect: "The alert stands in the list and nothing rings.",
		EndEffect:   "Whatever the alert was about goes on until somebody looks.",
		Hazards:     []Hazard{SilentFailure, Flood},
	},
	{
		ID: "command.late", Name: "command carried out late", DeviceKind: "cloud", Awaits: "commands that are kept",
		Phrases: []Phrase{
			{Pattern: `a remote start is kept until the controller is online again`},
		},
		Mechanism: "The cloud keeps a command for a controller that is offline and delivers it when the " +
			"controller connects again, whatever the time.",
		Symptoms: []string{
			"I pressed start, nothing happened, and hours later it came on by itself.",
			"It carried out an old command when it came back online.",
			"The manual watering that I asked for at noon began in the evening.",
			"It switched on all by itself long after I had given up.",
		},
		Check: "Compare the time at which the command was given with that at which it was carried out, in " +
			"the app's history.",
		Ask:         "Did it do hours later what was asked while it was offline?",
		LocalEffect: "A start of hours ago is carried out as if it were new.",
		EndEffect:   "Water runs when nobody expects it, and perhaps for the second time.",
		Hazards:     []Hazard{WaterWasted, Flood},
	},
	{
		ID: "controller.paused", Name: "programmes paused", DeviceKind: "controller", Awaits: "pauses of programmes",
		Phrases: []Phrase{
			{Pattern: `the programmes are paused`},
		},
		Mechanism: "A pause, a holiday mode, a rain delay or a season adjustment of zero was set on some " +
			"phone and not taken back.",
		Symptoms: []string{
			"It has not watered for days, the app says paused.",
			"The schedule is switched off or suspended.",
			"I forgot to end the holiday mode.",
			"The rain delay is still on.",
			"The programme is there but not enabled.",
		},
		Check:       "Look in the app for a pause, a holiday, a season adjustment or a rain delay that is on.",
		Ask:         "Does the app show a pause, a rain delay or a holiday?",
		BaseRate:    Often,
		LocalEffect: "Starts come due and none is made.",
		EndEffect:   "The beds dry out, and the app says that all is as it was set.",
		Hazards:     []Hazard{DryOut, SilentFailure},
	},
	{
		ID: "controller.update-differs", Name: "update behaves differently", DeviceKind: "controller", Awaits: "updates that change what settings mean",
		Phrases: []Phrase{
			{Pattern: `an update changes how the inputs are read`},
		},
		Mechanism: "A new version reads a setting in another way than the old one, or resets some to their " +
			"defaults: an input is inverted, a limit has another unit.",
		Symptoms: []string{
			"Since the update it behaves differently.",
			"After the new firmware everything works the other way round.",
			"The update changed my settings and it was perfect the day before.",
			"Since the last version the inputs are inverted.",
		},
		Check: "Compare the settings, the kind of each input (normally open or closed) and the version " +
			"before and after the update; read the notes of the version.",
		Ask:         "Did it change its ways with the date of an update, with nothing else changed?",
		LocalEffect: "The settings look as they were, and mean something else.",
		EndEffect:   "Fills, cut-offs or limits work the other way round from one night to the next.",
		Hazards:     []Hazard{Flood, DryOut, SilentFailure},
	},
}
