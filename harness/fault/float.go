package fault

import "ullage/harness/quantity"

// floatFaults are those of the float itself and how it was wired.
var floatFaults = []Entry{
	{
		ID: "contact.hung", Name: "float hangs on the wall or its tether", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the float of {contact} hangs for a further {further}`,
				Meaning: "It comes free only when the water has risen, or fallen, by so much more than it should " +
					"need to."},
		},
		Mechanism: "Slime, scale on the wall or a tether that has caught holds the float until the water has risen " +
			"or fallen by a further amount; then it comes free with a jerk.",
		Parameters: []Parameter{
			{Name: "further", Dim: quantity.Length, Default: 0.05, Worst: 2, Min: 1e-3, Max: 2,
				Source:      practice,
				WorstSource: "to the top or the bottom of a usual tank; " + practice},
		},
		Symptoms: []string{
			"It fills higher than it used to.",
			"Now and then it lets the tank go nearly empty before it fills.",
			"A knock on the tank and it works.",
			"The float sticks to the slimy wall and comes free with a jerk.",
			"Sometimes it fills too far and sometimes it waits too long, it depends.",
			"The float tangles in its own cord every few weeks and I must free it.",
			"Its tether has wrapped round something.",
			"The water stops a little higher than the mark, sometimes a lot higher.",
			"I have to nudge the float with a stick now and then.",
			"It went an inch or a hand over where it should stop.",
		},
		Check: "Mark the levels at which it clicks while the tank fills and empties: both are late by as much. " +
			"A jammed float never clicks, a waterlogged one is late on the way up and early on the way down.",
		Ask:         "Does a knock on the tank or a shake of its cable set the float free?",
		LocalEffect: "The contact operates and releases late, each time by as much.",
		EndEffect: "A fill ends higher than it should, and what is left up to the cut-off and the rim is less by as " +
			"much; a low contact protects its pump too late.",
		Hazards: []Hazard{Flood, DryRunning, DryOut, SilentFailure},
		course:  hold("hung", parameter("further")),
	},
	{
		ID: "contact.waterlogged", Name: "float waterlogged", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the float of {contact} is waterlogged and floats {deeper} deeper`,
				Formerly: []string{`the float of {contact} has taken water and lies {deeper} deeper`},
				Meaning:  "It operates and releases at a level that is higher by so much."},
		},
		Mechanism: "A crack or a leaking seam lets water into the float: it lies deeper in the water, and in the " +
			"end it sinks.",
		Parameters: []Parameter{
			{Name: "deeper", Dim: quantity.Length, Default: 0.04, Worst: 5, Min: 1e-3, Max: 5,
				Source: "of a float 60 mm high that is two thirds full: 40 mm; range, which takes in one that has " +
					"sunk: " + practice,
				WorstSource: "one that has sunk; " + practice},
		},
		Symptoms: []string{
			"It fills higher than it used to.",
			"It did not stop filling.",
			"It starts to fill although there is enough in the tank.",
			"The float is full of water and has sunk.",
			"There is water sloshing inside the float ball.",
			"The ball has a crack and hangs half under.",
			"The float does not float properly any more, it is heavy and half sunk.",
			"The ball has filled up with water.",
		},
		Check: "Take the float's lead off with the power off, take the float out and shake it: water in it is " +
			"heard. Its levels are too high on the way up and on the way down.",
		Ask: "Does the float lie deeper in the water than it used to, or sink?",
		LocalEffect: "The contact operates and releases at a higher level than it should, or the level never gets " +
			"there.",
		EndEffect: "A high contact ends the fill too late or never; a low contact asks for water, and keeps the " +
			"pump off, too soon or all the time.",
		Hazards: []Hazard{Flood, WaterWasted, DryOut, SilentFailure},
		course:  hold("sunk", parameter("deeper")),
	},
	{
		ID: "contact.inverted", Name: "normally open and normally closed swapped", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the contact {contact} is wired with the opposite contact (NO for NC)`,
				Formerly: []string{
					`the contact {contact} is normally closed in the place of normally open, or the other way round`,
				},
				Meaning: "Its terminal sees it closed where it should be open, and open where it should be closed."},
		},
		Mechanism: "The other two terminals of a changeover switch were used, the float was mounted upside down, or " +
			"a spare part of the other kind was fitted.",
		Symptoms: []string{
			"Since the new float was fitted it does the opposite.",
			"It says full when the tank is empty.",
			"It fills and never stops since the float was changed.",
			"It fills when the tank is full and stops when it is empty.",
			"Full and empty are the wrong way round, it works backwards.",
			"I bought a normally closed switch instead of normally open.",
			"The replacement level switch reads reversed.",
			"The float was mounted upside down.",
			"Opposite of what it should do: pours when full, dry when empty.",
			"I replaced the float with one from the hardware shop and it is backwards now.",
		},
		Check: "Switch off, take the lead off at the controller and measure whether the contact is closed with " +
			"the float hanging down and lifted: compare with what the site file, or the label, says.",
		Ask: "Has it done the exact opposite since the float or the switch was changed?",
		LocalEffect: "The terminal sees the contact closed where it should be open, and open where it should be " +
			"closed.",
		EndEffect: "A low contact calls for water while there is enough; a high contact ends no fill; a cut-off " +
			"holds everything back, and lets go when the water reaches it.",
		Hazards: []Hazard{Flood, DryOut, DryRunning, SilentFailure},
		course:  hold("inverted", always(1)),
	},
	{
		ID: "contact.leads-exchanged", Name: "leads of two contacts swapped between terminals", DeviceKind: "contact",
		Needs: hasNeighbour,
		Phrases: []Phrase{
			{Pattern: `the lead of {contact} is exchanged with that of the next contact`,
				Meaning: "Its terminal sees the contact of the next contact terminal of the board, after the last " +
					"the first, and the other way round."},
			{Pattern: `the lead of {contact} is exchanged with that of the contact {terminals further on} further on`,
				Meaning: "As with the next contact, so many contact terminals further on."},
		},
		Mechanism: "After work at the terminals two leads were put back into each other's place.",
		Parameters: []Parameter{
			{Name: "terminals further on", Dim: quantity.Count, Default: 1, Worst: 1, Min: 1, Max: 31,
				Source: "the neighbour; " + practice},
		},
		Symptoms: []string{
			"Since the electrician was here it fills too high.",
			"It fills when the tank is full.",
			"It says overflow when the tank is empty.",
			"The high and the low level switch are mixed up.",
			"I lift the bottom float and the top one shows.",
			"The two float wires were put back in each other's terminals.",
			"The electrician redid the terminals and now high and low are crossed.",
			"It says overflowing when the butt is practically empty.",
		},
		Check:       "Lift one float after the other by hand and look which input answers.",
		Ask:         "When you lift one float, does the reading of the other one change?",
		LocalEffect: "Each of the two terminals sees the contact that belongs to the other.",
		EndEffect: "A fill ends at the wrong level or at none; a cut-off that is taken for another contact protects " +
			"nothing.",
		Hazards: []Hazard{Flood, DryOut, DryRunning, SilentFailure},
		course:  hold("exchanged", parameter("terminals further on")),
	},
	{
		ID: "contact.coil-kick", Name: "kick of a coil in the wire of a contact", DeviceKind: "contact",
		Phrases: []Phrase{
			{
				Pattern: `the coils' inductive kick couples into the lead of {contact} through {coupling}[ with a clamp of {clamp} and a time constant of {time constant}]`,
				Formerly: []string{
					`the coils kick into the lead of {contact} through {coupling}[ with a clamp of {clamp} and a time constant of {time constant}]`,
				},
				Meaning: "As an output lets go of a coil, its wire goes to -40 V for as long as its current takes " +
					"to die away, and pulls at the wire of the contact through so much resistance.",
			},
		},
		Mechanism: "As an output lets go of a coil, the coil's own voltage drives its wire below ground as far as " +
			"the driver's clamp allows; a damp sheath or a shared connector " +
			"lets that pull at the wire of an open contact. It lasts for L/R ln(1 + U/clamp).",
		Parameters: []Parameter{
			{Name: "coupling", Dim: quantity.Resistance, Default: 22e3, Worst: 1e3, Min: 100, Max: 1e6,
				Source: practice},
			{Name: "clamp", Dim: quantity.Voltage, Default: 40, Worst: 40, Min: 0.5, Max: 1000,
				Source: "a transistor's avalanche; from a diode to no clamp at all: " + practice},
			{Name: "time constant", Dim: quantity.Duration, Default: 3e-3, Worst: 0.02, Min: 1e-5, Max: 0.1,
				Source: "L/R of 0.1 H and 36 ohm; range: " + practice},
		},
		Symptoms: []string{
			"Whenever a valve shuts, another one opens for a moment.",
			"It begins to fill as the sprays stop.",
			"A float seems to close for an instant each time a solenoid lets go.",
			"False level blips when the sprinkler valve turns off.",
		},
		Check: "Let one valve shut several times and read the log of the inputs: a contact that seems to close " +
			"in that moment, and no longer does so once its lead is run apart from the coils', had their kick. " +
			"An oscilloscope on the extra-low voltage input, clipped on with the power off, shows a dip of a " +
			"millisecond or so.",
		Ask:         "Does the false reading come just at the moment at which a valve switches off?",
		BaseRate:    Seldom,
		LocalEffect: "For as long as the kick lasts an open contact reads as closed.",
		EndEffect:   "A controller that believes it starts a fill or stops a pump without a reason.",
		Hazards:     []Hazard{AlarmFlood, WaterWasted, DryOut},
		course: together(hold("coupling", parameter("coupling")), hold("kick", parameter("clamp")), hold("kick time",
			parameter("time constant"))),
	},
}
