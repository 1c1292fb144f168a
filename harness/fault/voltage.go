package fault

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

const dipLevels = "IEC 61000-4-11 classes 2 and 3, as listed by secondary sources: 0 % for half a cycle and one, 40 " +
	"% for 10 cycles, " +
	"70 % for 25, 80 % and 0 % for 250 of 50 Hz"

// voltageFaults are what the voltage does besides going off.
var voltageFaults = []Entry{
	{
		ID: "power.dip", Name: "dip of the supply", DeviceKind: "power", Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `the supply dips to {share} for {length}`,
				Meaning: "The voltage is this share of what it should be, for no longer than 5 s."},
		},
		Mechanism: "A short circuit somewhere on the mains, or a large motor that starts: the voltage falls for " +
			"some cycles and is back before a lamp shows it.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.4, Worst: 0, Min: 0, Max: 0.99,
				Source:      dipLevels,
				WorstSource: dipLevels},
			{Name: "length", Dim: quantity.Duration, Default: 0.2, Worst: 5, Min: 0.001, Max: 5,
				Source:      dipLevels,
				WorstSource: dipLevels},
		},
		Symptoms: []string{
			"It restarts and nobody has touched it.",
			"The lamps blinked and the watering was over.",
			"The lights flickered and it restarted.",
			"A blip in the electricity and the run was gone.",
			"The power flickered for a moment and the run that was on never finished.",
		},
		Check: "Look for other clocks that blink; have a recorder of dips hung on the socket for a week.",
		Ask:   "Did other clocks blink or lamps flicker at that time?",
		LocalEffect: "What the capacitor of the supply does not bridge reaches the controller: coils drop out, or " +
			"it resets, or both, each at a level of its own.",
		EndEffect: "A run ends without a trace; coils that have dropped out while the firmware goes on leave it in " +
			"the belief that water runs.",
		Hazards: []Hazard{DryOut, SilentFailure, AlarmFlood},
		course:  during("length", hold("voltage factor", parameter("share"))),
	},
	{
		ID: "power.brown-out-ramp", Name: "supply sags slowly", DeviceKind: "power",
		Lasts: Window{Typical: 20 * signal.Minute, Worst: signal.Hour}, Event: true,
		Phrases: []Phrase{
			{Pattern: `the supply voltage sags to {share} over {over}`,
				Meaning: "The voltage falls evenly to this share of what it should be, and is back at once when the " +
					"time is over."},
		},
		Mechanism: "A battery that runs down, a generator that runs out of fuel, an evening on a long line: the " +
			"voltage falls through every level slowly.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 0.3, Min: 0, Max: 0.99, Source: practice},
			{Name: "over", Dim: quantity.Duration, Default: 300, Worst: 600, Min: 1, Max: 86400, Source: practice},
		},
		Symptoms: []string{
			"It starts again and again in the evening.",
			"The valves hummed and then it was dead.",
			"The generator was running out of fuel and it went mad.",
			"The solar battery goes down in the evening and it restarts over and over.",
		},
		Check: "Have it fed from an adjustable extra-low voltage supply by someone qualified, turned down " +
			"slowly and up again: one reset each way is right, many are not.",
		Ask:      "Do the lamps or the display get dimmer slowly before it goes?",
		BaseRate: Seldom,
		LocalEffect: "The supply stays for a long time where the reset level, the drop-out of coils and the " +
			"references of converters are.",
		EndEffect: "The controller resets over and over at its level; coils chatter; readings are off before " +
			"anything stops.",
		Hazards: []Hazard{AlarmFlood, DryOut, Flood, SilentFailure},
		course: func(p func(string) float64, length signal.Time) []Turn {
			return []Turn{{Knob: "voltage factor", Value: p("share"), Until: length,
				Over: signal.FromSeconds(p("over"))}}
		},
	},
	{
		ID: "power.cycling", Name: "power comes and goes quickly", DeviceKind: "power",
		Lasts: Window{Typical: signal.Minute, Worst: signal.Hour}, Event: true,
		Phrases: []Phrase{
			{Pattern: `the power cycles {off} off and {on} on for {window}`,
				Formerly: []string{`the power comes and goes, {off} away and {on} back, for {window}`},
				Meaning:  "The power is off and on again, over and over, but not more than a thousand times."},
		},
		Mechanism: "A loose plug, a recloser on the line or a protective switch that trips again: the power is off " +
			"and back, many times in a row.",
		Parameters: []Parameter{
			{Name: "off", Dim: quantity.Duration, Default: 0.5, Worst: 0.5, Min: 0.01, Max: 3600, Source: practice},
			{Name: "on", Dim: quantity.Duration, Default: 2, Worst: 60, Min: 0.1, Max: 3600, Source: practice},
		},
		Symptoms: []string{
			"I got hundreds of messages in one night.",
			"I get the same message over and over.",
			"The valve clicked like mad.",
			"The plug is loose and it goes on and off.",
			"The power kept coming and going.",
			"The breaker trips again and again.",
			"The extension lead has a loose contact and it goes on and off.",
		},
		Check: "Look whether its plug sits firmly and which protective switch has tripped; count the starts in " +
			"the controller's log. Loose sockets and terminals of the mains are for an electrician.",
		Ask:         "Does the log show many starts within minutes, with other devices going on and off too?",
		LocalEffect: "Each return begins a boot; some are cut before the boot is over.",
		EndEffect: "Counters, lock-outs and pauses that live in memory never get far; alerts repeat; flash that is " +
			"written at each boot wears.",
		Hazards: []Hazard{AlarmFlood, Flood, WaterWasted, DryOut},
		course:  pulses("voltage factor", 0, "off", "on"),
	},
	{
		ID: "power.all-due", Name: "everything due at once after an outage", DeviceKind: "power",
		Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `everything is due at once after {outage} without power`,
				Meaning: "The power is off for so long; whatever fell due meanwhile is due when it returns."},
		},
		Mechanism: "The power was off for so long that starts have passed, the tank has emptied and the soil has " +
			"dried: all of it is due when it returns.",
		Parameters: []Parameter{
			{Name: "outage", Dim: quantity.Duration, Default: 12 * 3600, Worst: 3600, Min: 60, Max: 7 * 86400,
				Source:      practice,
				WorstSource: "so that a sweep, which watches for two hours at the least, sees the return; " + practice},
		},
		Symptoms: []string{
			"When the power came back everything ran at once.",
			"After the power cut the sprays only dribbled.",
			"After the outage it tried to water everything together.",
			"It made up for all the missed runs at the same time.",
			"After the mains came back everything went off at once and no zone got enough.",
		},
		Check: "Read what was on in the minutes after the controller's last start, and the pressure with all " +
			"of it open.",
		Ask: "Did several zones run together just after the power came back?",
		LocalEffect: "Fill, moisture rule and programmes all call in the first seconds; alerts and the connection " +
			"are due as well.",
		EndEffect: "Valves share a pressure that is enough for one; the supply carries the inrush of all coils, or " +
			"resets and begins again.",
		Hazards: []Hazard{DryOut, WaterWasted, AlarmFlood, Surge},
		course:  during("outage", hold("voltage factor", always(0))),
	},
}

// mostPulses is how often pulses turns a knob at the most.
const mostPulses = 1000

// pulses turns a knob for as long as on says, lets it go for as long as off says, and so on through the window, but not
// more than a thousand times.
func pulses(knob string, value float64, on, off string) course {
	return func(p func(string) float64, length signal.Time) []Turn {
		lasts, period := signal.FromSeconds(p(on)), signal.FromSeconds(p(on)+p(off))
		var turns []Turn
		for from := signal.Time(0); from < length && len(turns) < mostPulses; from += period {
			turns = append(turns, Turn{Knob: knob, Value: value, From: from, Until: min(from+lasts, length)})
		}
		return turns
	}
}
