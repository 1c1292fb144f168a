package fault

import "ullage/harness/quantity"

var powerFaults = []Entry{
	{
		ID: "power.lost", Name: "power lost", Kind: "power",
		Mechanism:   "The mains fails, a fuse blows or somebody pulls the plug.",
		Symptoms:    []string{"It was off this morning.", "After the thunderstorm it had forgotten that it was watering."},
		Check:       "Read the controller's time since its last start, and ask which other devices lost power.",
		LocalEffect: "No voltage at the power terminal: every coil drops out, the controller stops.",
		EndEffect:   "Nothing is watered or filled while it lasts; what was going on is not taken up again by itself.",
		Hazards:     []Hazard{DryOut, SilentFailure, Flood},
		Example:     `the power is lost for 3 s`,
		course:      hold("voltage factor", always(0)),
	},
	{
		ID: "power.brown-out", Name: "brown-out", Kind: "power",
		Mechanism: "A long cable, a weak power supply or a dip of the mains: the voltage falls without going away.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.7, Min: 0, Max: 1,
				Source: "IEC 61000-4-11 class 2, dip to 70 %, as listed by secondary sources; range: " + practice},
		},
		Symptoms:    []string{"It restarts whenever the pump starts."},
		Check:       "Measure the supply at the controller while every coil is on together.",
		LocalEffect: "Below its reset level the controller stops; coils drop out at their own voltage, not at the same one.",
		EndEffect:   "Runs are cut short and begun again.",
		Hazards:     []Hazard{DryOut, AlarmFlood, SilentFailure},
		Example:     `the supply voltage falls to 60 % for 2 s`,
		course:      hold("voltage factor", parameter("share")),
	},
	{
		ID: "controller.reset", Name: "controller restarts", Kind: "controller",
		Mechanism:   "A watchdog, a disturbance on the reset line or an update restarts the firmware.",
		Symptoms:    []string{"It stopped in the middle of watering and knew nothing of it."},
		Check:       "Read the cause of the last reset, and compare its time with that of storms, starts of the pump and updates.",
		LocalEffect: "The outputs go to what they are during a boot, the memory is lost.",
		EndEffect:   "What was going on ends; with unsafe outputs valves move while nobody is in charge.",
		Hazards:     []Hazard{DryOut, Flood, SilentFailure},
		Example:     `the controller restarts`,
		course:      hold("reset", always(1)),
	},
}

var networkFaults = []Entry{
	{
		ID: "wifi.lost", Name: "Wi-Fi lost", Kind: "wifi",
		Mechanism:   "The access point is switched off, restarts, or is out of reach.",
		Symptoms:    []string{"The app says offline.", "It never told me that the tank was empty."},
		Check:       "Look at the list of clients of the access point, and at the signal at the controller's place.",
		LocalEffect: "No frame gets through; the session ends when its loss is noticed.",
		EndEffect:   "Commands do not arrive, alerts come late or never; nobody knows.",
		Hazards:     []Hazard{SilentFailure, Flood, WaterWasted},
		Example:     `the access point stops answering for 10 min`,
		course:      hold("signal", always(0)),
	},
	{
		ID: "wifi.flapping", Name: "Wi-Fi comes and goes", Kind: "wifi",
		Mechanism: "At the edge of its reach the connection breaks and is made again, over and over.",
		Parameters: []Parameter{
			{Name: "away", Dim: quantity.Duration, Default: 60, Min: 1, Max: 3600, Source: practice},
			{Name: "back", Dim: quantity.Duration, Default: 60, Min: 1, Max: 3600, Source: practice},
		},
		Symptoms:    []string{"I get the same message ten times."},
		Check:       "Count the joins in the access point's log over a night.",
		LocalEffect: "Sessions end and begin; publishes are sent more than once.",
		EndEffect:   "Alerts repeat or are missing.",
		Hazards:     []Hazard{AlarmFlood, SilentFailure},
		Example:     `the access point comes and goes, 60 s away and 60 s back, for 1 h`,
		course:      alternate("signal", 0, "away", "back"),
	},
}
