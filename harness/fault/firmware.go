package fault

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// firmwareFaults are those of the controller itself: its loop, its pins, its memory.
var firmwareFaults = []Entry{
	{
		ID: "controller.hangs", Name: "controller hangs", DeviceKind: "controller", Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `the controller hangs`,
				Meaning: "Its loop stands still with the outputs as they are, until the watchdog of the board " +
					"resets it."},
		},
		Mechanism: "The loop waits for something that does not come: a lock, a bus, a sensor. Its outputs stay as " +
			"they are until the watchdog resets it.",
		Symptoms: []string{
			"It stopped in the middle of watering and started anew.",
			"It says restarted and nobody has touched it.",
			"It freezes for a while and then restarts by itself.",
			"It hung and came back on its own.",
			"It froze and a minute later it was back as if nothing had been.",
		},
		Check: "Read the cause of the last reset: a watchdog says so, a loss of power does too.",
		Ask:   "Does the log name the watchdog as the cause of the restart?",
		LocalEffect: "Nothing is read, nothing is decided, what is on stays on; after the watchdog's time the " +
			"firmware boots.",
		EndEffect: "A run is longer by the watchdog's time, and then cut off. Only the watchdog ends it: firmware " +
			"alone cannot.",
		Hazards: []Hazard{Flood, WaterWasted, DryOut},
		course:  strike("hang", 1),
	},
	{
		ID: "controller.hangs-for-good", Name: "controller hangs and no watchdog ends it", DeviceKind: "controller",
		Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `the controller hangs for good`,
				Meaning: "Its loop stands still with the outputs as they are; no watchdog ends it, the loss of " +
					"power does."},
		},
		Mechanism: "There is no watchdog, or an interrupt goes on feeding it while the loop stands still.",
		Symptoms: []string{
			"It ran all night, and the display was frozen.",
			"It did nothing until I pulled the plug.",
			"The screen is frozen and no button does anything.",
			"It locks up every few days and I have to unplug it.",
			"The controller crashed with the valve open and stayed like that.",
			"It does not respond until it is switched off and on.",
			"The screen stands still, buttons dead, the valve stays as it was.",
			"It freezes every few days and I must pull the plug and put it back.",
			"It was stuck in whatever it was doing.",
		},
		Check: "Look at the display or the lamp: frozen. It reacts to nothing, and pulling its plug and " +
			"putting it back makes it well.",
		Ask:         "Is its display or lamp frozen until you pull the plug?",
		LocalEffect: "What is on stays on, without an end.",
		EndEffect: "Nothing in the firmware protects any more: what helps is a watchdog of its own chip, an " +
			"overflow that carries the full inflow, " +
			"a timer or a flow limiter in the pipe.",
		Hazards: []Hazard{Flood, DryRunning, WaterWasted, SilentFailure},
		course:  together(hold("hang", always(1)), hold("watchdog", always(0))),
	},
	{
		ID: "controller.reboot-loop", Name: "reboot loop", DeviceKind: "controller",
		Lasts: Window{Typical: 10 * signal.Minute, Worst: 2 * signal.Hour}, Event: true,
		Phrases: []Phrase{
			{Pattern: `the controller restarts every {every} for {window}`,
				Meaning: "Its firmware is reset and boots, over and over."},
		},
		Mechanism: "A fault that strikes at the same point after each start: it boots, runs for some seconds and " +
			"resets, over and over.",
		Parameters: []Parameter{
			{Name: "every", Dim: quantity.Duration, Default: 10, Worst: 60, Min: 2, Max: 600, Source: practice},
		},
		Symptoms: []string{
			"It keeps restarting.",
			"The lamp blinks as when it starts, all the time.",
			"The valve goes on and off every few seconds.",
			"It boots, dies, boots, dies.",
			"The controller keeps restarting all the time.",
			"It restarts every few seconds and never gets ready.",
			"The logo appears again and again.",
			"Start screen, black, start screen, black.",
		},
		Check: "Count the starts in a minute; switch off and unplug one input after the other until it stays " +
			"up.",
		Ask:         "Does its lamp show a start again and again, every few seconds?",
		LocalEffect: "Every few seconds memory is lost and outputs go to what they are during a boot.",
		EndEffect:   "Runs are begun again and again and none is limited as a whole; alerts repeat at each start.",
		Hazards:     []Hazard{Flood, WaterWasted, AlarmFlood, Surge},
		course: func(p func(string) float64, length signal.Time) []Turn {
			pull := 100 * signal.Millisecond
			return pulses("reset", 1, "pull", "rest")(func(name string) float64 {
				if name == "pull" {
					return pull.Seconds()
				}
				return p("every") - pull.Seconds()
			}, length)
		},
	},
	{
		ID: "controller.pins-float", Name: "pins undefined during the boot", DeviceKind: "controller",
		Phrases: []Phrase{
			{Pattern: `the output pins float for {time} at each boot`,
				Formerly: []string{`the pins float for {time} at each boot`},
				Meaning:  "Every output is on for so long from each reset on, before the firmware runs."},
		},
		Mechanism: "Until the firmware sets them up the pins are inputs: without a resistor to ground the drivers " +
			"see what leaks in, and switch on.",
		Parameters: []Parameter{
			{Name: "time", Dim: quantity.Duration, Default: 0.1, Worst: 10, Min: 0.001, Max: 10, Source: practice},
		},
		Symptoms: []string{
			"When the power comes back all valves click.",
			"The pump jerks each time it starts.",
			"All the sprinklers twitch when I plug it in.",
			"Valves open for a moment at power up.",
		},
		Check: "Put test lamps for its extra-low voltage in the place of the coils with the power off, then " +
			"switch on: none may light up before the firmware runs.",
		Ask:         "Do the valves click in the first second after the power comes on?",
		BaseRate:    Seldom,
		LocalEffect: "Every output is on for this long at each boot.",
		EndEffect: "Valves open and the pump starts with nobody in charge. Only a resistor to ground at each driver " +
			"helps: no firmware runs yet.",
		Hazards: []Hazard{Flood, DryRunning, Surge, WaterWasted},
		course:  hold("pins float", parameter("time")),
	},
	{
		ID: "controller.settings-lost", Name: "settings lost", DeviceKind: "controller", Event: true,
		Phrases: []Phrase{
			{Pattern: `the controller loses its settings`,
				Meaning: "It restarts as a new one: nothing is set up, until the time is over and somebody has set " +
					"it up again."},
		},
		Mechanism: "The memory that holds the settings is worn out or was erased: it starts with those of the " +
			"factory, in which nothing is set up.",
		Symptoms: []string{
			"It has forgotten everything.",
			"All settings are gone.",
			"Since the storm no valve opens and the app shows no zones.",
			"All my programmes have been erased.",
			"It is back to factory settings after the storm.",
			"The zone names are gone and it asks for the language.",
			"The schedule is empty.",
			"It reset itself and I have to enter everything again.",
			"It is like the day I bought it, all programmes gone.",
			"It wants to be set up from scratch again.",
			"After the storm all schedules and names were wiped.",
		},
		Check:       "Read the settings back: they are those of a new one.",
		Ask:         "Does it ask to be set up, or show names and times as a new one does?",
		LocalEffect: "It restarts; no rule is in use, no output has a purpose.",
		EndEffect:   "Nothing is filled or watered until somebody sets it up again; with careless defaults something is.",
		Hazards:     []Hazard{DryOut, SilentFailure, Flood},
		course:      hold("settings lost", always(1)),
	},
	{
		ID: "controller.settings-changed", Name: "setting changed in mid-run", DeviceKind: "controller",
		Event: true, Needs: hasFillRule,
		Phrases: []Phrase{
			{Pattern: `somebody sets the longest run of a fill to {longest run}`,
				Meaning: "The limit is another one from now on, also for a fill that is under way."},
		},
		Mechanism: "Somebody changes a limit on the phone while the run that it limits is under way.",
		Parameters: []Parameter{
			{Name: "longest run", Dim: quantity.Duration, Default: 600, Worst: 86400, Min: 1, Max: 86400,
				Source:      practice,
				WorstSource: "a slip of the unit; " + practice},
		},
		Symptoms: []string{
			"I made the limit shorter and it ran longer than ever.",
			"Somebody changed the run time in the app while it was watering.",
			"I edited the limit in the middle of filling and it did not stop.",
			"I shortened the time while it was running and it did not stop.",
		},
		Check: "Look in the log for the time of the change, and whether a run was under way.",
		Ask:   "Was a setting changed while a run was under way?",
		LocalEffect: "The limit is another one from one moment to the next, perhaps one that the run has passed " +
			"already.",
		EndEffect: "A firmware that compares for equality misses it; one that starts the time anew gives the run as " +
			"much again.",
		Hazards: []Hazard{WaterWasted, Flood},
		course:  hold("longest run", parameter("longest run")),
	},
	{
		ID: "controller.settings-half-written", Name: "settings half written", DeviceKind: "controller",
		Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `the controller restarts while it writes its settings`,
				Meaning: "What is in its memory after that is neither the old settings nor the new ones."},
		},
		Mechanism: "The controller restarts while it writes its settings: the old ones are erased, the new ones not " +
			"complete.",
		Symptoms: []string{
			"After the power cut it did mad things.",
			"Half of my zones are gone.",
			"Some settings are right and others are nonsense after the power failed while saving.",
		},
		Check: "Read the settings back and compare them with what was entered: some are zero, or of a new one.",
		Ask:   "Are some settings right and others zero or strange?",
		LocalEffect: "What is in memory is neither the old settings nor the new ones; a checksum detects it, and a " +
			"second copy has the old ones.",
		EndEffect: "Without a checksum limits are zero, which some firmware takes for no limit.",
		Hazards:   []Hazard{Flood, WaterWasted, DryOut},
		course:    together(strike("settings torn", 1), strike("reset", 1)),
	},
	{
		ID: "controller.updated", Name: "update applied with a valve open", DeviceKind: "controller",
		Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `an update is applied that takes {takes}`,
				Meaning: "The firmware is replaced at once, whatever runs, and boots when so much time is over."},
		},
		Mechanism: "An update is ready and is applied at once, whatever runs: the firmware stands still while the " +
			"flash is written.",
		Parameters: []Parameter{
			{Name: "takes", Dim: quantity.Duration, Default: 60, Worst: 600, Min: 1, Max: 600, Source: practice},
		},
		Symptoms: []string{
			"On the night of the update it overflowed.",
			"It updated itself in the middle of watering.",
			"The update started while a zone was on and the water was not stopped.",
			"It went into update mode in the middle of a run and forgot to turn the water off.",
		},
		Check:       "Compare the date of the firmware with that of the complaint.",
		Ask:         "Did the update come while water ran?",
		LocalEffect: "For a minute or so nobody reads a contact; outputs are off, or what they were.",
		EndEffect:   "With outputs that stay on, whatever runs runs on past every contact.",
		Hazards:     []Hazard{Flood, DryRunning, DryOut},
		course:      during("takes", hold("update", parameter("takes"))),
	},
	{
		ID: "controller.update-cut", Name: "update cut short", DeviceKind: "controller",
		Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `an update that takes {takes} is interrupted halfway`,
				Formerly: []string{`an update that takes {takes} is cut short at half`},
				Meaning:  "The firmware is being replaced, and a reset ends that half way."},
		},
		Mechanism: "The power fails, or the reset is pulled, while an update is written: half of the flash is old " +
			"and half is new.",
		Parameters: []Parameter{
			{Name: "takes", Dim: quantity.Duration, Default: 60, Worst: 600, Min: 1, Max: 600, Source: practice},
		},
		Symptoms: []string{
			"Since the update it is dead.",
			"The update failed and it does not start any more.",
			"It was unplugged during the update and is bricked.",
			"The update stopped at half and now only one lamp glows.",
			"It says updating and has stood at half since yesterday.",
		},
		Check: "Look whether it starts at all, and which version it reports: the old one is right, none is a " +
			"board to exchange.",
		Ask:         "Has it been dead since an update that was interrupted?",
		LocalEffect: "With two places for the firmware the old one starts; with one, nothing does.",
		EndEffect:   "A dead controller with its outputs off dries everything out; no alert arrives.",
		Hazards:     []Hazard{DryOut, SilentFailure, Flood},
		course: during("takes", func(p func(string) float64, length signal.Time) []Turn {
			return []Turn{{Knob: "update", Value: p("takes"), Until: length}, {Knob: "reset", Value: 1,
				From: length / 2, Until: length}}
		}),
	},
}
