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
		Symptoms: []string{
			"It was off this morning.",
			"After the thunderstorm it had forgotten that it was watering.",
			"There was a power cut at the time of the start and the watering was skipped.",
			"It missed the morning run because the electricity was off.",
			"The fuse had tripped and the box was dead.",
			"Somebody unplugged it for the hoover.",
			"No lights on the box at all.",
			"The power failed and it did not catch up afterwards.",
			"We had a power cut and the six o'clock watering never happened.",
			"It was without electricity at its start time and skipped the day.",
			"The RCD or earth leakage switch had tripped, everything was off.",
			"The display is dark, the socket is dead.",
			"The power went off while it should have watered and it did not make up for it.",
			"The controller lost its power and the watering was simply left out.",
		},
		Check:       "Read the controller's time since its last start, and ask which other devices lost power.",
		Ask:         "Was the power off at the time of the run, also for other devices?",
		BaseRate:    Often,
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
		Symptoms: []string{
			"It restarts whenever the pump starts.",
			"The box reboots exactly when the pump kicks in.",
			"The lights dip and the controller resets.",
			"As soon as the motor starts it goes dark for a second and starts anew.",
			"Whenever the big motor or the pump comes on the controller goes off and on.",
			"The lamps in the shed dim and the controller starts again.",
		},
		Check: "Watch the controller's lamps, and those of the shed, as the pump or the valve starts: a dip " +
			"just then is a brown-out. Have the supply measured under load by someone qualified.",
		Ask: "Does it restart at the very moment at which a pump or a motor starts?",
		LocalEffect: "Below its reset level the controller stops; coils drop out at their own voltage, not at the " +
			"same one.",
		EndEffect: "Runs are cut short and begun again.",
		Hazards:   []Hazard{DryOut, AlarmFlood, SilentFailure},
		course:    hold("voltage factor", parameter("share")),
	},
	{
		ID: "power.weak", Name: "supply grown weak", DeviceKind: "power",
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
		Symptoms: []string{
			"It restarts when two valves are to open.",
			"The valves hum and do not open.",
			"Two valves together do not open, one alone does.",
			"I use another adapter than the one that came with it.",
			"The power supply is too small for all the valves.",
			"With two zones on, both only buzz and nothing opens properly.",
			"Since the new power brick it acts up under load.",
			"I use the charger of an old router or laptop for it.",
			"One zone fine, two zones and they only buzz.",
			"The transformer cannot carry all valves together.",
			"A cheap 12 V supply from the internet instead of the original.",
			"It resets as soon as the second valve pulls in.",
		},
		Check: "Run the zones one by one and then two together: what works alone and not together is a weak " +
			"supply. Read the label of the adapter: its volts, AC or DC, and amperes against the sum of the " +
			"coils.",
		Ask:         "Does each zone run alone, and fail when two are on together?",
		BaseRate:    Often,
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
		Symptoms: []string{
			"It opened the valve and never shut it again.",
			"With new batteries it works.",
			"The batteries are empty after two months.",
			"The low battery light is on.",
			"The tap timer has no display, the batteries are dead.",
			"In the cold the battery gives up.",
			"It opened in the morning and the battery died before it could close.",
			"New batteries in spring, empty again in summer.",
			"It says battery low and does not switch any more.",
			"The 9 volt battery is empty.",
		},
		Check: "Put in fresh batteries of the kind that the label asks for: if it works with them, they were " +
			"flat. Cells that are hot, swollen or leaking are not touched with bare hands, and never charged.",
		Ask:      "Does it work with fresh batteries?",
		BaseRate: Often,
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
		Symptoms: []string{
			"It stopped in the middle of watering and knew nothing of it.",
			"It rebooted in the middle of a run and forgot the rest.",
			"It restarted once and the watering was cut short.",
			"It forgot in the middle that it was watering and was idle.",
		},
		Check: "Read the cause of the last reset, and compare its time with that of storms, starts of the pump " +
			"and updates.",
		Ask:         "Does the log name a reset at the time of the complaint?",
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
		Mechanism: "The winding has burnt through, a spade has cut the cable, a connector came off.",
		Symptoms: []string{
			"One zone is dead, the others work.",
			"One bed stopped working after somebody dug there, the cable is probably cut.",
			"A spade went through the wire to the valve.",
			"The solenoid coil is burnt out, with a brown mark on it.",
			"No click from that valve, resistance infinite, open circuit.",
			"Mice have eaten the wire to one zone.",
			"One station does not come on and there is no click.",
			"Since the builder, gardener or fencing man was here that bed gets nothing, cable damaged.",
			"The digger went through the valve cable.",
			"The app says it is on but the valve is silent; a new coil fixed it before.",
			"The solenoid measures no continuity.",
			"There is voltage at the wires but the coil is burnt.",
		},
		Check: "Switch off, take the zone's two wires off the controller and measure their ohms: no end is a " +
			"burnt coil or a cut cable. Measure the coil itself at the valve: right there and without end at " +
			"the controller is the cable.",
		Ask:         "Is one zone dead, without a click at its valve, since somebody dug or since it got hot?",
		BaseRate:    Often,
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
		Symptoms: []string{
			"It restarts whenever that zone is to run.",
			"No valve works any more.",
			"The controller goes dead when one particular zone comes on.",
			"It blows the fuse as soon as that valve opens.",
			"Short circuit on a zone, the ohms are nearly zero.",
			"It says overcurrent or short on one station.",
			"With that zone's wire unplugged everything works.",
			"The adapter cuts out whenever zone three starts.",
			"When that station starts the controller reboots, the others are fine.",
			"There is a short in the wire to one valve, zero ohms.",
			"The fuse goes whenever zone two comes on.",
			"The display shows a fault or short on one zone.",
			"Everything goes dark as soon as this one valve is switched on.",
		},
		Check: "Switch off, take the zone's two wires off the controller and measure their ohms: next to " +
			"nothing is a short; measure the coil itself at the valve to tell it from the cable. With those " +
			"wires off, the other zones run.",
		Ask: "Does the trouble begin at the very moment at which this one zone is called, and go with its " +
			"wires off?",
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
		Symptoms: []string{
			"It waters when it should not and stops when it should.",
			"The battery valve opens when it should close.",
			"It works in reverse: off means water.",
			"I reversed red and black on the latching solenoid.",
		},
		Check: "Switch off and exchange the two wires of the latching coil at the terminal: what was the wrong " +
			"way round is right. A plain coil does not mind.",
		Ask: "Is it a latching (battery) valve that opens on stop and shuts on start?",
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
		Symptoms: []string{
			"It hums and gets hot.",
			"The valve buzzes and is hot.",
			"It clicks and nothing happens.",
			"The solenoid hums loudly and is too hot to touch.",
			"The coil gets hot, smells and nothing opens.",
			"A buzzing valve, the core is stuck with lime.",
			"It drones and I burnt my finger on the coil.",
			"The coil hums and smells of hot plastic.",
			"I have to whack the valve with a mallet and then it opens.",
		},
		Check: "Listen and smell from a distance: a coil that hums for minutes and moves no water is jammed; " +
			"leave it off and let it cool, it may be too hot to touch. Then isolate power and water and " +
			"relieve the pressure before the coil is unscrewed and the plunger looked at.",
		Ask: "Does this coil hum and get hot while no water comes?",
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
		Mechanism: "The access point is switched off, restarts, or is out of reach.",
		Symptoms: []string{
			"The app says offline.",
			"It never told me that the tank was empty.",
			"The controller is offline, its Wi-Fi light is off.",
			"No connection, it is not on the network.",
			"The router was switched off.",
			"The app cannot find the device.",
			"It vanished from the app, no Wi-Fi lamp.",
		},
		Check:       "Look at the list of clients of the access point, and at the signal at the controller's place.",
		Ask:         "Is it missing from the access point's list of clients?",
		BaseRate:    Often,
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
		Symptoms: []string{
			"I get the same message ten times.",
			"It goes online, offline, online, offline.",
			"The connection drops every few minutes.",
			"I get online and offline notices all day.",
			"On and off and on and off, forty mails a day about the connection.",
			"It loses and finds the network all day long.",
		},
		Check:       "Count the joins in the access point's log over a night.",
		Ask:         "Does it join and leave many times an hour?",
		LocalEffect: "Sessions end and begin; publishes are sent more than once.",
		EndEffect:   "Alerts repeat or are missing.",
		Hazards:     []Hazard{AlarmFlood, SilentFailure},
		course:      alternate("signal", 0, "down", "up"),
	},
}
