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
			"Paused for rain, in glorious sunshine, for days.",
			"The rain cup is choked with leaves or moss and stays wet.",
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
			"It rains and rains and it waters, what did I buy the rain sensor for?",
			"The rain gauge is under the eaves.",
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
			"Not a peep from the phone, the alarm was in the app all along.",
			"I had silenced it once and never heard an alert since.",
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
			"I pressed water now and nothing, then it came on in the evening by itself.",
			"It did hours later what I had asked for at noon.",
			"A start that I had long forgotten came when the connection was back.",
			"Nothing happens, and then it catches up at the wrong time.",
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
			"It says off until next week and I did not do that.",
			"No watering for two weeks, vacation or winter mode is on.",
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
			"After the overnight update it fills when full and stops when empty.",
			"The new version does it differently, nobody touched anything.",
		},
		Check: "Compare the settings, the kind of each input (normally open or closed) and the version " +
			"before and after the update; read the notes of the version.",
		Ask:         "Did it change its ways with the date of an update, with nothing else changed?",
		LocalEffect: "The settings look as they were, and mean something else.",
		EndEffect:   "Fills, cut-offs or limits work the other way round from one night to the next.",
		Hazards:     []Hazard{Flood, DryOut, SilentFailure},
	},
	{
		ID: "pump.strainer-blocked", Name: "suction strainer blocked", DeviceKind: "pump", Awaits: "suction strainers",
		Phrases: []Phrase{
			{Pattern: `the suction strainer of the pump {pump} is blocked`},
		},
		Mechanism: "Leaves, algae or mud lie before the strainer or the foot valve: the pump gets less water " +
			"than it could lift.",
		Symptoms: []string{
			"The pump inlet is clogged with leaves and algae.",
			"The intake sieve in the barrel is full of slime and the pump hardly delivers.",
			"Only a trickle comes from the pump, weeds around the suction.",
			"The foot valve strainer sits in the mud.",
			"The pump labours and gets loud, the suction basket is blocked.",
		},
		Check: "Switch the pump off at its isolator, let it cool and relieve the pressure; then lift the " +
			"strainer or foot valve and look. Nobody reaches into the water while the pump is connected.",
		Ask:         "Does the pump give little, and more again once its inlet has been cleaned?",
		LocalEffect: "Less flow, more suction; the water may boil in the casing.",
		EndEffect:   "What the pump feeds gets little; the seal wears.",
		Hazards:     []Hazard{DryOut, DryRunning},
	},
	{
		ID: "controller.run-time-wrong", Name: "run time set wrong", DeviceKind: "controller", Awaits: "run times that somebody sets",
		Phrases: []Phrase{
			{Pattern: `the run time of a zone is set wrong`},
		},
		Mechanism: "A slip of the unit, a season adjustment or a figure of another zone: each run is far " +
			"shorter or longer than was meant.",
		Symptoms: []string{
			"Every run is over after a few seconds.",
			"I entered seconds instead of minutes.",
			"It waters for only two minutes, the beds stay dry.",
			"It waters far too long, I must have set hours.",
			"The seasonal adjustment is at ten percent.",
			"The plants get too little although it runs every day as set.",
			"It runs for ten seconds and says done.",
			"Much too short, the soil is only wet on top.",
		},
		Check: "Read the run time and its unit, and a season adjustment in percent, in the app; hold a watch " +
			"against one run.",
		Ask:         "Is the run time in the app another one than you meant?",
		BaseRate:    Often,
		LocalEffect: "Each run ends when it was told to.",
		EndEffect:   "The beds dry out or drown, as they were set to.",
		Hazards:     []Hazard{DryOut, WaterWasted},
	},
	{
		ID: "controller.starts-overlap", Name: "starts overlap", DeviceKind: "controller", Awaits: "run times that somebody sets",
		Phrases: []Phrase{
			{Pattern: `the runs of two zones overlap`},
		},
		Mechanism: "Run times were lengthened or a programme was added: two zones run together on a supply " +
			"for one.",
		Symptoms: []string{
			"Two programmes run at the same time and both are weak.",
			"The lawn and the drip start together and there is no pressure.",
			"The schedules overlap.",
			"Since I added a second programme the first one is weak.",
			"Both patches come on at seven and neither has any force.",
			"The two zones run together and starve each other.",
		},
		Check: "Read the start and run times of all zones side by side: two that run together share the " +
			"pressure.",
		Ask:         "Do two zones run at the same time by their times in the app?",
		LocalEffect: "Two valves are open together.",
		EndEffect:   "Both zones get too little, and nothing says so.",
		Hazards:     []Hazard{DryOut, SilentFailure},
	},
	{
		ID: "alert.limit-wrong", Name: "limit of an alert set wrong", DeviceKind: "controller", Awaits: "limits that somebody sets",
		Phrases: []Phrase{
			{Pattern: `the limit of an alert is set too low`},
		},
		Mechanism: "The limit of the flow was set from one zone and another takes more, or was left at what " +
			"the maker had set.",
		Symptoms: []string{
			"It reports a leak but there is none.",
			"False alarm every day, high flow although all is fine.",
			"The leak threshold is set too low.",
			"It shuts the water off for no reason and says excess flow.",
			"I get a leak warning practically daily and the plumber found nothing.",
			"It complains of high flow whenever the lawn runs.",
		},
		Check:       "Compare the limit of the alert in the settings with what the meter reads in a good run.",
		Ask:         "Does the alert come in good runs too, with nothing wrong at the site?",
		LocalEffect: "A good run passes the limit.",
		EndEffect:   "Alerts that nobody believes any more, and runs that are ended for nothing.",
		Hazards:     []Hazard{AlarmFlood, DryOut},
	},
	{
		ID: "controller.wet", Name: "water in the controller", DeviceKind: "controller", Awaits: "leakage on the board",
		Phrases: []Phrase{
			{Pattern: `water gets into the box of the controller`},
		},
		Mechanism: "A gland left open, a cover without its seal, condensation or insects: current leaks " +
			"between the tracks of the board.",
		Symptoms: []string{
			"Water got into the box and the board is wet.",
			"There is condensation behind the display.",
			"The seal of the lid is missing, it rained in and outputs switch at random.",
			"Ants or snails are in the box, the circuit board is corroded.",
			"The display is blank or blind and there are drops behind it.",
		},
		Check: "Switch off and unplug it, open its lid only then, and look for drops, rust and snails. It is " +
			"not switched on again before it has dried.",
		Ask:         "Is there water, condensation or corrosion in the controller's box?",
		LocalEffect: "Inputs and outputs do what they like.",
		EndEffect:   "Water runs or does not, at random.",
		Hazards:     []Hazard{Flood, DryOut, SilentFailure},
	},
	{
		ID: "controller.lightning", Name: "surge of lightning", DeviceKind: "controller", Awaits: "surges on leads",
		Phrases: []Phrase{
			{Pattern: `lightning strikes nearby`},
		},
		Mechanism: "Long leads to floats and valves pick up the surge of a strike nearby.",
		Symptoms: []string{
			"Lightning struck nearby and since then it is dead.",
			"After the thunderstorm some zones do not work and the adapter smells burnt.",
			"A surge killed the board.",
			"Lightning killed two zones and the power brick.",
		},
		Check: "Do nothing while a storm is near. Then compare which inputs, outputs and adapters still " +
			"work, with the power off before a wire is touched.",
		Ask:         "Did it fail in a thunderstorm, with other devices in the house or the neighbourhood?",
		LocalEffect: "Inputs, outputs or the adapter are destroyed, some of them conducting.",
		EndEffect:   "A valve that stays open, or a site that is dead, and no alert is sent.",
		Hazards:     []Hazard{Flood, DryOut, SilentFailure},
	},
}
