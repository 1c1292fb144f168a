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
		Symptoms: []string{"The valve chatters when the tank is full.", "It fills in lots of short bursts."},
		Check: "Watch the terminal with an oscilloscope or the controller's log while the float is lifted by hand, " +
			"slowly and once: more than two edges are a bounce.",
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
		Symptoms:  []string{"It thinks that the tank is empty, and it is not.", "It says full and never fills."},
		Check: "Lift and lower the float by hand: the contact does not change, and its lead, unplugged, makes the " +
			"reading change.",
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
		Symptoms: []string{"It did not stop filling.", "The tank overflowed, and the float hangs down.",
			"The pump ran with the tank empty."},
		Check: "Lift the float by hand: if the reading changes now, it had been hanging; look for scale, a cable or " +
			"a float that has taken water.",
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
		Symptoms: []string{"The float works, I can hear it click, and nothing happens.",
			"I lift the float by hand and it does not react."},
		Check: "Bridge the two wires at the float: if the reading does not change, the lead or a terminal is broken.",
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
		Symptoms:    []string{"It works in dry weather."},
		Check:       "Measure the resistance of the closed contact at the controller's end, in dry and in wet weather.",
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
		Mechanism:   "The plug of the probe is pulled, or its cable cut: nothing drives the analogue input.",
		Symptoms:    []string{"It says 100 % wet and the plants are dry.", "It has watered all night."},
		Check:       "Unplug the probe on purpose: if the reading does not change, it was not connected before.",
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
		Symptoms:    []string{"The bed is much drier than it says."},
		Check:       "Measure the voltage at the probe and at the controller: what differs is lost in plug and lead.",
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
