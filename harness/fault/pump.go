package fault

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// pumpFaults are those of pumps, their motors and contactors.
var pumpFaults = []Entry{
	{
		ID: "pump.will-not-start", Name: "pump will not start", DeviceKind: "pump",
		Phrases: []Phrase{
			{Pattern: `the pump {pump} does not start`,
				Meaning: "Its contactor comes in and its motor stands."},
		},
		Mechanism: "The motor's capacitor or its overload trip has gone, or the impeller is stuck after the winter: " +
			"the contactor comes in and nothing turns.",
		Symptoms: []string{
			"It clicks and the pump does not run.",
			"The pump hums and trips.",
			"The app says that the pump runs and it stands still.",
			"The pump does not come on.",
			"The pump is dead, nothing turns.",
			"The pump only hums and the breaker trips.",
			"The motor is seized after the winter.",
			"The pump tries and stops.",
			"The pump makes a grunt and does not turn.",
			"The motor does not start, it just buzzes.",
		},
		Check: "Listen while it is called: a click and no turning is the motor, the impeller or a trip, no " +
			"click is the call. Switch it off at its isolator before anybody touches it; its casing may be " +
			"hot. Fuses, trips and wiring are for an electrician.",
		Ask:         "Is the pump called, does something click or hum, and does its shaft stand still?",
		BaseRate:    Often,
		LocalEffect: "The contactor is in and the pump stands.",
		EndEffect: "What the pump feeds gets nothing, and a controller that does not look at the flow believes that " +
			"it did.",
		Hazards: []Hazard{DryOut, SilentFailure, Overheating},
		course:  hold("seized", always(1)),
	},
	{
		ID: "pump.air-locked", Name: "air lock in a pump", DeviceKind: "pump",
		Lasts: Window{Typical: 10 * signal.Second},
		Phrases: []Phrase{
			{Pattern: `air is locked in the pump {pump}`,
				Meaning: "It moves no water, however much stands before it, and must fill when that is over."},
		},
		Mechanism: "Air that came out of warm water, or was left when the pump was filled, sits in the casing: the " +
			"pump turns in it and moves no water, however much stands before it.",
		Symptoms: []string{
			"The pump runs and nothing comes, although the tank is full.",
			"The pump screams and gets hot.",
			"After I let the air out it worked.",
			"The pump turns and pushes nothing, there is air in it.",
			"It gurgles and gives no water after I cleaned the tank.",
			"An airlock after the tank was refilled.",
			"No water from the pump since I took it apart for cleaning, the tank is full.",
		},
		Check: "Switch the pump off at its isolator, let it cool (casing and water may be hot), shut its " +
			"valves and relieve the pressure; then open the vent screw: air and then water is an air lock. If " +
			"air comes back within a day, the suction draws it.",
		Ask:         "Does the pump work again for weeks once it has been vented?",
		LocalEffect: "The pump runs without water until it is vented and has filled.",
		EndEffect:   "What the pump feeds gets nothing; the seal runs dry and burns.",
		Hazards:     []Hazard{DryRunning, DryOut, SilentFailure},
		course:      hold("air", always(1)),
	},
	{
		ID: "pump.worn", Name: "pump worn", DeviceKind: "pump",
		Phrases: []Phrase{
			{Pattern: `the pump {pump} is worn to {share} of its head`,
				Meaning: "At no flow it lifts the water so much less high, and its flows fall with the square root " +
					"of that."},
		},
		Mechanism: "Sand has worn the impeller and its ring: the pump gives the head and the flow of a slower one.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.6, Worst: 0.3, Min: 0.01, Max: 1,
				Source: "of its head at rest; affinity laws, head with the square of the speed and flow with the " +
					"speed; range: " + practice},
		},
		Symptoms: []string{
			"It gets weaker from year to year.",
			"The last drippers of the line give nothing.",
			"The pump runs longer than it used to.",
			"The pump is old and does not push like it used to.",
			"Less and less pressure from the pump over the years.",
			"The impeller is worn by sand.",
			"The pump has no oomph any more, it is ten years old.",
		},
		Check: "Shut the valve behind the pump for a few seconds, no longer, and read the gauge: compare with " +
			"the head at no flow on its data sheet. A loaded filter leaves that as it is.",
		Ask:         "Has it lost pressure over years, with clean filters?",
		LocalEffect: "Less head at no flow, and less flow at every head; above its head it gives nothing.",
		EndEffect:   "Zones get less water in the same run time, or none, and nothing says so.",
		Hazards:     []Hazard{DryOut, SilentFailure},
		course:      hold("head", parameter("share")),
	},
	{
		ID: "pump.runs-on", Name: "pump runs on, contactor welded", DeviceKind: "pump",
		Phrases: []Phrase{
			{Pattern: `the contactor of the pump {pump} welds`,
				Meaning: "Once it is in it does not come out, whatever its coil does."},
		},
		Mechanism: "The inrush of the motor has welded the contactor: once in it does not come out, whatever its " +
			"coil does (the welded contact of IEC 61508-2, table A.1, from memory).",
		Symptoms: []string{
			"The pump runs day and night.",
			"The pump ran with the tank empty.",
			"It still runs with the controller unplugged.",
			"The pump will not stop though the app says stopped.",
			"The pump has been going for days.",
			"Knocking on the box made the relay drop out and the pump stopped.",
			"The pump keeps running after the stop; the contactor is stuck.",
			"The pump ran dry until it was too hot to touch, nothing stopped it.",
			"The pump was still running in the morning and was boiling hot.",
			"The pump ran all night, the barrel was bone dry and it smells burnt.",
			"The pump cannot be stopped from the app, only with its plug.",
		},
		Check: "Switch the controller off: a pump that still runs is its contactor's. Switch it off at its " +
			"isolator at once; the casing may be hot. The contactor is for an electrician.",
		Ask:         "Does the pump run on with the controller switched off?",
		LocalEffect: "The pump runs from its next start on, with its coil off as well.",
		EndEffect:   "It empties its tank and runs dry; what stands behind it is watered without end or burst.",
		Hazards:     []Hazard{DryRunning, Flood, WaterWasted, SilentFailure},
		course:      hold("welded", always(1)),
	},
}
