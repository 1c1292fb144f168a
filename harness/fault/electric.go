package fault

import (
	"slices"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// powerFaults are of what feeds the controller, and the controller itself.
var powerFaults = slices.Concat(supplyFaults, voltageFaults, clockFaults, firmwareFaults)

var supplyFaults = []Entry{
	{
		ID: "power.lost", Name: "power lost", DeviceKind: "power",
		Lasts: Window{Typical: 3 * signal.Second, Worst: signal.Hour}, Event: true,
		Phrases: []Phrase{
			{Pattern: `the power goes off`, Formerly: []string{`the power is lost`},
				Meaning: "No voltage at the power terminal."},
		},
		Mechanism: "The mains fails, a fuse blows or somebody pulls the plug.",
		Symptoms: []string{"It was off this morning.",
			"After the thunderstorm it had forgotten that it was watering."},
		Check:       "Read the controller's time since its last start, and ask which other devices lost power.",
		LocalEffect: "No voltage at the power terminal: every coil drops out, the controller stops.",
		EndEffect:   "Nothing is watered or filled while it lasts; what was going on is not taken up again by itself.",
		Hazards:     []Hazard{DryOut, SilentFailure, Flood},
		course:      hold("voltage factor", always(0)),
	},
	{
		ID: "power.brown-out", Name: "brown-out", DeviceKind: "power",
		Lasts: Window{Typical: 2 * signal.Second, Worst: signal.Hour},
		Phrases: []Phrase{
			{Pattern: `the supply voltage falls to {share}`,
				Meaning: "The voltage at the power terminal is this share of what it should be."},
		},
		Mechanism: "A long cable, a weak power supply or a dip of the mains: the voltage falls without going away.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.7, Worst: 0.6, Min: 0, Max: 1,
				Source: "IEC 61000-4-11 class 2, dip to 70 %, as listed by secondary sources; range: " + practice},
		},
		Symptoms: []string{"It restarts whenever the pump starts."},
		Check:    "Measure the supply at the controller while every coil is on together.",
		LocalEffect: "Below its reset level the controller stops; coils drop out at their own voltage, not at the " +
			"same one.",
		EndEffect: "Runs are cut short and begun again.",
		Hazards:   []Hazard{DryOut, AlarmFlood, SilentFailure},
		course:    hold("voltage factor", parameter("share")),
	},
	{
		ID: "power.weak", Name: "supply grown weak", DeviceKind: "power", Needs: hasSupply,
		Phrases: []Phrase{
			{Pattern: `the source resistance rises by {resistance}`,
				Formerly: []string{`the supply grows weaker by {resistance}`},
				Meaning:  "So much is added to the internal resistance of the supply."},
		},
		Mechanism: "Contacts have corroded, cells are cold or old, a transformer has been replaced by a smaller " +
			"one: the resistance behind the voltage is greater.",
		Parameters: []Parameter{
			{Name: "resistance", Dim: quantity.Resistance, Default: 5, Worst: 50, Min: 0.01, Max: 1000,
				Source: practice},
		},
		Symptoms: []string{"It restarts when two valves are to open.", "The valves hum and do not open."},
		Check: "Measure the supply at the controller with no coil on and with two: the difference over their " +
			"current is its resistance.",
		LocalEffect: "The voltage falls with every coil that comes on; inrush takes it lower than holding.",
		EndEffect:   "Valves do not open, or the controller resets as they come on and never gets further.",
		Hazards:     []Hazard{DryOut, AlarmFlood, Overheating, SilentFailure},
		course:      hold("internal resistance", parameter("resistance")),
	},
	{
		ID: "battery.flat", Name: "battery nearly flat", DeviceKind: "power", Needs: hasBattery,
		Phrases: []Phrase{
			{Pattern: `the battery has {share} of its charge left`,
				Meaning: "The battery behaves as one with no more charge than this."},
		},
		Mechanism: "Charge is used up, or lost to cold, age and leakage: the open-circuit voltage falls and the " +
			"resistance rises.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.1, Worst: 0.05, Min: 0, Max: 1, Source: practice},
		},
		Symptoms: []string{"It opened the valve and never shut it again.", "With new batteries it works."},
		Check:    "Measure the battery while the radio is on, and the capacitor of the outputs before and after a pulse.",
		LocalEffect: "The capacitor of the outputs is charged to less; a pulse that opens may be followed by one " +
			"that does not shut.",
		EndEffect: "A latching valve stays open until somebody comes.",
		Hazards:   []Hazard{WaterWasted, Flood, DryOut, SilentFailure},
		course:    hold("charge", parameter("share")),
	},
	{
		ID: "controller.reset", Name: "controller restarts", DeviceKind: "controller", Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `the controller restarts`,
				Meaning: "Its firmware is reset and boots, with the power on."},
		},
		Mechanism: "A watchdog, a disturbance on the reset line or an update restarts the firmware.",
		Symptoms:  []string{"It stopped in the middle of watering and knew nothing of it."},
		Check: "Read the cause of the last reset, and compare its time with that of storms, starts of the pump and " +
			"updates.",
		LocalEffect: "The outputs go to what they are during a boot, the memory is lost.",
		EndEffect:   "What was going on ends; with unsafe outputs valves move while nobody is in charge.",
		Hazards:     []Hazard{DryOut, Flood, SilentFailure},
		course:      strike("reset", 1),
	},
}

// coilFaults are those of the electrical side of valves.
var coilFaults = []Entry{
	{
		ID: "coil.open", Name: "coil or its cable open", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `the coil of {valve} breaks`,
				Meaning: "No current passes the coil, or the motor, of the valve."},
		},
		Mechanism:   "The winding has burnt through, a spade has cut the cable, a connector came off.",
		Symptoms:    []string{"One zone is dead, the others work."},
		Check:       "Measure the resistance between the two wires at the controller: it has no end.",
		LocalEffect: "No current, whatever the output does.",
		EndEffect:   "A spring-return valve stays shut; a latching or motorised one stays where it is, also open.",
		Hazards:     []Hazard{DryOut, Flood, WaterWasted, SilentFailure},
		course:      hold("coil lead", always(1e12)),
	},
	{
		ID: "coil.shorted", Name: "coil or its cable shorted", DeviceKind: "valve", Opposite: "coil.open",
		Phrases: []Phrase{
			{Pattern: `the coil of {valve} shorts`,
				Meaning: "Its output feeds nothing but wires."},
		},
		Mechanism: "The winding has lost its insulation, or water has got into a splice.",
		Symptoms:  []string{"It restarts whenever that zone is to run.", "No valve works any more."},
		Check: "Measure the resistance between the two wires at the controller: next to nothing. With the wires " +
			"off, the other zones run.",
		LocalEffect: "The output feeds nothing but wire: the supply breaks down for everything on it.",
		EndEffect:   "The controller resets as often as it tries, and nothing else is watered either.",
		Hazards:     []Hazard{DryOut, AlarmFlood, SilentFailure},
		course:      hold("coil short", always(1)),
	},
	{
		ID: "coil.leads-swapped", Name: "leads swapped", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `the leads of {valve} are swapped`,
				Meaning: "Its two wires are interchanged."},
		},
		Mechanism: "The two wires were interchanged. A plain coil with a spring does not mind (" + practice + ").",
		Symptoms:  []string{"It waters when it should not and stops when it should."},
		Check:     "Exchange the two wires at the terminal: what was the wrong way round is right.",
		LocalEffect: "A latching valve opens on the pulse that should shut it; a motorised one turns the other way; " +
			"a diode that is built in shorts the output.",
		EndEffect: "Water runs whenever the controller holds the valve to be shut.",
		Hazards:   []Hazard{Flood, WaterWasted, DryOut},
		course:    hold("leads swapped", always(1)),
	},
	{
		ID: "coil.plunger-jammed", Name: "plunger jammed", DeviceKind: "valve",
		Phrases: []Phrase{
			{Pattern: `the plunger of {valve} jams`,
				Meaning: "The plunger of its coil stays where it is."},
		},
		Mechanism: "Lime, rust or a bent tube holds the plunger where it is.",
		Symptoms:  []string{"It hums and gets hot.", "The valve buzzes and is hot.", "It clicks and nothing happens."},
		Check: "Measure the current of the coil, and work the valve by hand: the current stays at inrush, and the " +
			"water comes.",
		LocalEffect: "The pilot stays as it is. A coil for alternating current whose plunger is out draws its " +
			"inrush current all the time.",
		EndEffect: "The valve does not follow, and such a coil burns out when nothing ends the run.",
		Hazards:   []Hazard{Overheating, DryOut, Flood, SilentFailure},
		course:    hold("plunger jammed", always(1)),
	},
}

// networkFaults are those of the way to the cloud.
var networkFaults = slices.Concat(accessFaults, connectionFaults, packetFaults)

var accessFaults = []Entry{
	{
		ID: "wifi.lost", Name: "Wi-Fi lost", DeviceKind: "wifi", Lasts: Window{Typical: 10 * signal.Minute},
		Phrases: []Phrase{
			{Pattern: `the access point stops answering`,
				Meaning: "No frame gets through, either way."},
		},
		Mechanism:   "The access point is switched off, restarts, or is out of reach.",
		Symptoms:    []string{"The app says offline.", "It never told me that the tank was empty."},
		Check:       "Look at the list of clients of the access point, and at the signal at the controller's place.",
		LocalEffect: "No frame gets through; the session ends when its loss is noticed.",
		EndEffect:   "Commands do not arrive, alerts come late or never; nobody knows.",
		Hazards:     []Hazard{SilentFailure, Flood, WaterWasted},
		course:      hold("signal", always(0)),
	},
	{
		ID: "wifi.flapping", Name: "Wi-Fi comes and goes", DeviceKind: "wifi",
		Lasts: Window{Typical: signal.Hour, Worst: 2 * signal.Hour}, Event: true,
		Phrases: []Phrase{
			{Pattern: `the access point cycles {down} down and {up} up for {window}`,
				Formerly: []string{`the access point comes and goes, {down} away and {up} back, for {window}`},
				Meaning:  "The access point stops answering and answers again, over and over."},
		},
		Mechanism: "At the edge of its reach the connection breaks and is made again, over and over.",
		Parameters: []Parameter{
			{Name: "down", Dim: quantity.Duration, Default: 60, Worst: 300, Min: 1, Max: 3600, Source: practice},
			{Name: "up", Dim: quantity.Duration, Default: 60, Worst: 30, Min: 1, Max: 3600, Source: practice},
		},
		Symptoms:    []string{"I get the same message ten times."},
		Check:       "Count the joins in the access point's log over a night.",
		LocalEffect: "Sessions end and begin; publishes are sent more than once.",
		EndEffect:   "Alerts repeat or are missing.",
		Hazards:     []Hazard{AlarmFlood, SilentFailure},
		course:      alternate("signal", 0, "down", "up"),
	},
}
