package fault

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// broken is the resistance of a wire that leads nowhere, in ohm.
const broken = 1e12

const ganssle = "J. Ganssle, A Guide to Debouncing (2004, revised 2014), as cited by secondary sources: 16 of 18 " +
	"switches " +
	"bounced for 1557 us on average and 6200 us at most, one for 157 ms"

var contactFaults = []Entry{
	{
		ID: "contact.bounce", Name: "contact bounces", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the contact {contact} bounces for {bounce time} with {bounce edges} edges at each change`,
				Meaning: "At each change of the float the contact opens and closes so often within that time, " +
					"before it rests."},
		},
		Mechanism: "The blades of a switch rebound before they rest, longer as they wear or foul: one operation " +
			"makes many edges.",
		Parameters: []Parameter{
			{Name: "bounce time", Dim: quantity.Duration, Default: 0.0062, Worst: 0.157, Min: 0.00005, Max: 10,
				Source:      ganssle + "; range: " + practice,
				WorstSource: "the longest of these"},
			{Name: "bounce edges", Dim: quantity.Count, Default: 8, Worst: 20, Min: 2, Max: 1000, Source: practice},
		},
		Symptoms: []string{
			"The valve chatters when the tank is full.",
			"It fills in lots of short bursts.",
			"The level switch flickers on and off when the water is right at its mark.",
			"The solenoid rattles like a machine gun just before the tank is full.",
			"I get full, not full, full, not full within a second.",
			"The input toggles many times for one change; is there a delay or debounce setting?",
			"It stutters when it is almost full, open, shut, open, shut.",
			"Dozens of switching events in the log within one second.",
			"Relay goes tick tick tick tick as the water gets to the top.",
		},
		Check: "Lift the float by hand, slowly and once, and read the controller's log of the input: more than " +
			"two changes for one lift are a bounce.",
		Ask: "Does the valve click on and off in quick bursts just when the water reaches the float's mark, " +
			"with the water still?",
		BaseRate:    Often,
		LocalEffect: "The terminal sees the contact open and close many times at each change of the float.",
		EndEffect:   "A fill ends early or starts again and again; valve and coil wear, alerts repeat.",
		Hazards:     []Hazard{Flood, AlarmFlood},
		course: together(hold("bounce time", parameter("bounce time")), hold("bounce edges",
			parameter("bounce edges"))),
	},
	{
		ID: "contact.jammed-operated", Name: "float jammed, operated", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the float of {contact} jams operated`,
				Meaning: "The contact is operated whatever the level is."},
		},
		Mechanism: "The float hangs on scale, a cable or the wall in the position in which it operates.",
		Symptoms: []string{
			"It thinks that the tank is empty, and it is not.",
			"It says full and never fills.",
			"The float is stuck in the up position and the tank is nearly empty.",
			"It believes that the cistern is full, the animals have no water.",
			"The float switch has caught on the ladder, a rope or its own cable and points upward.",
			"The barrel will not refill, it says full, but I can see the bottom.",
			"No top up: the ball is wedged at the top.",
			"No water for the cattle or chickens, the controller shows full.",
			"The float is wedged against the side in the raised position, the level is right down.",
			"The arm of the float is held up by a twig or a stone.",
			"It never asks for water any more although the tank is down to the last inch.",
			"The horses ran out of water, the float was glued to the wall with slime.",
		},
		Check: "Lift and lower the float by hand: a reading that never changes is the switch's or its lead's. " +
			"To tell which, switch off and take the lead off the controller, and measure its ohms with the " +
			"float up and down; then take it off the float too. A lead that read closed and is open now had a " +
			"jammed switch; one that still reads closed is shorted. One that read open and closes when its two " +
			"wires are bridged at the float had a jammed switch; one that stays open is broken.",
		Ask:         "Does the float sit up, caught on something, while the water stands well below it?",
		LocalEffect: "The contact reads operated whatever the level is.",
		EndEffect:   "A low contact calls for water without end; a high contact stops filling for ever.",
		Hazards:     []Hazard{Flood, DryOut, WaterWasted},
		course:      hold("jam", always(1)),
	},
	{
		ID: "contact.jammed-released", Name: "float jammed, released", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the float of {contact} jams released`,
				Meaning: "The contact is released whatever the level is."},
		},
		Mechanism: "The float hangs or has filled with water and no longer rises: it stays in the position in which " +
			"it is released.",
		Symptoms: []string{
			"It did not stop filling.",
			"The tank overflowed, and the float hangs down.",
			"The pump ran with the tank empty.",
			"The float did not come up with the water and the tank ran over.",
			"The level switch never said full, so the filling went on until the floor was wet.",
			"The ball is stuck at the bottom under water.",
			"The pump carried on although the barrel was empty; the low level cut-off did not stop it.",
			"The pump ran dry and burnt because the float switch did not drop.",
			"It overfilled in the night, the float was caught underneath the pipe.",
			"Water all over the floor, the float was lying on the bottom, something held it down.",
			"Full tank but it kept pouring in, the top float had not moved.",
			"The float had got caught under a pipe or a ladder and could not rise.",
			"The float switch is gummed up with slime and hangs straight down.",
			"It pumped the barrel dry because the low float was stuck.",
			"The pump went on sucking air, nothing switched it off at low water.",
		},
		Check: "Lift the float by hand: a reading that changes now says that it had been hanging; look for " +
			"scale, a cable or a float that has taken water. One that does not change: see the lead test of " +
			"contact.jammed-operated.",
		Ask:         "Does the float hang down although the water stands above it?",
		BaseRate:    Often,
		LocalEffect: "The contact reads released whatever the level is.",
		EndEffect:   "A high contact does not end a fill; a low contact neither starts one nor keeps the pump off.",
		Hazards:     []Hazard{Flood, DryOut, DryRunning, WaterWasted},
		course:      hold("jam", always(-1)),
	},
	{
		ID: "contact.broken-lead", Name: "broken lead to a contact", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the lead of {contact} breaks`,
				Meaning: "The terminal of the contact sees an open circuit."},
		},
		Mechanism: "The cable to the float switch is cut, chewed or pulled out of its terminal.",
		Symptoms: []string{
			"The float works, I can hear it click, and nothing happens.",
			"I lift the float by hand and it does not react.",
			"The cable of the level switch was chewed through by a rat.",
			"The float's wire is cut, it does not see the water level any more.",
			"The float is fine but the controller does not notice it.",
			"A wire of the float switch has pulled out of its terminal.",
			"A rabbit, dog, fox or squirrel has eaten the float's cable.",
			"I cut through the float's cable with the hedge trimmer and now the level does not show.",
			"Nothing changes in the app when I move the float up and down.",
		},
		Check: "Switch off, take the two wires off at the float and bridge them: with the power on again a " +
			"reading that still does not change says that the lead or a terminal is broken.",
		Ask: "Can you hear the float click by hand while the app shows no change at all?",
		LocalEffect: "The terminal sees an open circuit: a normally open contact reads released, a normally closed " +
			"one operated.",
		EndEffect: "As a jammed float; a normally closed cut-off fails to the safe side.",
		Hazards:   []Hazard{Flood, DryOut, DryRunning, SilentFailure},
		course:    hold("lead", always(broken)),
	},
	{
		ID: "contact.corroded", Name: "corroded contact", DeviceKind: "contact",
		Phrases: []Phrase{
			{Pattern: `the contact {contact} corrodes to {resistance}`,
				Meaning: "So much resistance is in its circuit while it is closed."},
		},
		Mechanism: "Damp in a connector or on the blades puts a resistance into the circuit.",
		Parameters: []Parameter{
			{Name: "resistance", Dim: quantity.Resistance, Default: 5e3, Worst: 1e6, Min: 1, Max: 1e9,
				Source: practice},
		},
		Symptoms: []string{
			"It works in dry weather.",
			"The level switch works on and off; the plug is green and furry.",
			"Contacts of the float are corroded and it reads only now and then.",
			"Wiggling the plug of the float brings it back.",
			"Rusty screw terminals at the float, intermittent reading.",
			"The terminals in the float's box are green and crumbling.",
			"It reads the level after I have scraped the contacts clean.",
		},
		Check: "Switch off, take the lead off at the controller and measure the resistance of the closed " +
			"contact, in dry and in wet weather: it should be a few ohms.",
		Ask:         "Does the level reading work in dry weather and fail when it is damp?",
		LocalEffect: "A closed contact no longer pulls its terminal down to a clear low.",
		EndEffect:   "The contact is read late, or not at all.",
		Hazards:     []Hazard{Flood, DryOut, DryRunning, SilentFailure},
		course:      hold("lead", parameter("resistance")),
	},
}

var probeFaults = []Entry{
	{
		ID: "probe.unplugged", Name: "probe disconnected", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the probe {probe} is unplugged`,
				Meaning: "Nothing drives the analogue input of the probe."},
		},
		Mechanism: "The plug of the probe is pulled, or its cable cut: nothing drives the analogue input.",
		Symptoms: []string{
			"It says 100 % wet and the plants are dry.",
			"It has watered all night.",
			"The moisture shows zero since the cable was pulled out.",
			"The soil sensor reads 0 percent all of a sudden and it waters and waters.",
			"The sensor's lead is cut or loose, the value jumped to an end and stays there.",
			"The dog pulled the probe's wire.",
			"No reading from the moisture probe, it shows dashes or error.",
			"Somebody tripped over the sensor wire.",
			"The moisture dropped to nothing all at once and it has not stopped watering since.",
			"It reads 0 % although the ground is a swamp; the cable was kicked or pulled by children or a ball.",
			"The moisture stick is not connected any more, and it waters every cycle.",
		},
		Check: "Switch off, unplug the probe on purpose, switch on: if the reading does not change, it was not " +
			"connected before.",
		Ask:         "Does the reading stay the same when you unplug the probe on purpose?",
		BaseRate:    Often,
		LocalEffect: "The input is drawn to where its own leak draws it, outside of what a probe can say.",
		EndEffect:   "Read as soil, it is very wet or very dry: the bed is not watered, or watered without end.",
		Hazards:     []Hazard{DryOut, Flood, WaterWasted, SilentFailure},
		course:      hold("lead", always(broken)),
	},
	{
		ID: "probe.corroded-plug", Name: "corroded plug of a probe", DeviceKind: "probe",
		Phrases: []Phrase{
			{Pattern: `the plug of {probe} corrodes to {resistance}`,
				Meaning: "So much resistance lies between the probe and its input."},
		},
		Mechanism: "Damp in the plug puts a resistance between probe and input; with the input's own resistance it " +
			"divides the voltage.",
		Parameters: []Parameter{
			{Name: "resistance", Dim: quantity.Resistance, Default: 50e3, Worst: 1e6, Min: 100, Max: 1e9,
				Source: practice},
		},
		Symptoms: []string{
			"The bed is much drier than it says.",
			"The probe's plug is green and the value is too low.",
			"The reading changed after I cleaned the connector.",
		},
		Check: "Compare the reading with the probe plugged in after its plug has been dried and cleaned with " +
			"the power off: what changes was lost in the plug. An electrician may measure at both ends.",
		Ask:         "Does the reading change when its plug is cleaned and dried?",
		LocalEffect: "The voltage at the input is too low, and still plausible.",
		EndEffect:   "The soil is taken for wetter than it is, and watered too little.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("lead", parameter("resistance")),
	},
}

// alternate turns a knob for as long as the one parameter says, lets it go for as long as the other says, and so on
// through the window. Without an end it goes on for a day.
func alternate(knob string, value float64, held, let string) course {
	return func(p func(string) float64, length signal.Time) []Turn {
		off, on := signal.FromSeconds(p(held)), signal.FromSeconds(p(let))
		var turns []Turn
		for from := signal.Time(0); from < min(length, signal.Day); from += off + on {
			turns = append(turns, Turn{Knob: knob, Value: value, From: from, Until: min(from+off, length)})
		}
		return turns
	}
}
