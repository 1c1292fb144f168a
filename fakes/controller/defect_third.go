package controller

import "ullage/harness/fault"

// The mistakes of the third list. It was written together with the faults of clock, memory and connection, and with the
// scenarios that have them.
const (
	counterSigned mistake = secondMistakes + iota
	counterCompared
	startRepeated
	clockUnsetTrusted

	noWatchdog
	updateHoldsOutputs
	settingsUnchecked
	settingRenews
	settingsLostSilent

	halfOpenTrusted
	stopSparesTimed

	spikeClears

	mistakes // how many all lists have
)

// thirdList has its defects at the numbers of their mistakes.
var thirdList = [mistakes]Defect{
	counterSigned: {"counter-signed", "limits are compared as signed numbers of 32 bits in milliseconds: over 2^31 they are never reached",
		hazards(fault.Flood, fault.WaterWasted), ""},
	counterCompared: {"counter-compared", "limits are compared as they stand in a counter of 32 bits of milliseconds: over 2^32 they are never reached",
		hazards(fault.Flood, fault.WaterWasted), ""},
	startRepeated: {"start-repeated", "a clock that is put back runs a start a second time", hazards(fault.WaterWasted), ""},
	clockUnsetTrusted: {"clock-unset-trusted", "a clock that was never set counts from its epoch, and programmes run by it",
		hazards(fault.SilentFailure, fault.WaterWasted), ""},

	noWatchdog: {"no-watchdog", "the watchdog is fed by an interrupt, and not by the loop: a loop that hangs stays so",
		hazards(fault.Flood, fault.DryRunning), ""},
	updateHoldsOutputs: {"update-holds-outputs", "an update is written while the outputs stay what they are",
		hazards(fault.Flood), ""},
	settingsUnchecked: {"settings-unchecked", "settings are used without a checksum: half written, a limit of nought is none",
		hazards(fault.WaterWasted), ""},
	settingRenews:      {"setting-renews", "a limit that is changed in mid-run begins its time anew", hazards(fault.WaterWasted), ""},
	settingsLostSilent: {"settings-lost-silent", "settings that are lost are replaced by those of the factory, and nobody is told", hazards(fault.SilentFailure), ""},

	halfOpenTrusted: {"half-open-trusted", "a connection is believed in until somebody ends it, whether anything is answered or not", hazards(fault.SilentFailure), ""},
	stopSparesTimed: {"stop-spares-timed", "a stop from afar ends only what was started without a time", hazards(fault.WaterWasted), ""},

	spikeClears: {"spike-clears", "one wet reading ends a soak and clears the count of cycles, and the next dry one begins a cycle", hazards(fault.WaterWasted), ""},
}
