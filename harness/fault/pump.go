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
		Symptoms: []string{"It clicks and the pump does not run.", "The pump hums and trips.",
			"The app says that the pump runs and it stands still."},
		Check: "Measure the voltage at the motor while it is called: voltage and no turning is the motor or the " +
			"impeller, none is the contactor or the trip.",
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
		Symptoms: []string{"The pump runs and nothing comes, although the tank is full.",
			"The pump screams and gets hot.", "After I let the air out it worked."},
		Check: "Open the vent screw on the casing: air and then water that comes out is an air lock. If air keeps " +
			"coming, the suction draws it.",
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
		Symptoms: []string{"It gets weaker from year to year.", "The last drippers of the line give nothing.",
			"The pump runs longer than it used to."},
		Check: "Shut the valve behind the pump for a moment and read the gauge: compare with the head at no flow on " +
			"its data sheet. A loaded filter leaves that as it is.",
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
		Symptoms: []string{"The pump runs day and night.", "The pump ran with the tank empty.",
			"It still runs with the controller unplugged."},
		Check: "Unplug the controller: a pump that still runs is its contactor's. Isolate it before anybody opens " +
			"the box.",
		LocalEffect: "The pump runs from its next start on, with its coil off as well.",
		EndEffect:   "It empties its tank and runs dry; what stands behind it is watered without end or burst.",
		Hazards:     []Hazard{DryRunning, Flood, WaterWasted, SilentFailure},
		course:      hold("welded", always(1)),
	},
}
