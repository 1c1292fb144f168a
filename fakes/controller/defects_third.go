package controller

import (
	"ullage/harness"
	"ullage/harness/fault"
)

// thirdList was written together with the faults of clock, memory and connection, and with the scenarios that have
// them.
var thirdList = []Defect{
	{
		"counter-signed",
		"limits are compared as signed numbers of 32 bits in milliseconds: over 2^31 they are never reached",
		hazards(fault.Flood, fault.WaterWasted),
		"",
		wrapped(func(w wrap) bool { return w.signed }),
	},
	{
		"counter-compared",
		"limits are compared as they stand in a counter of 32 bits of milliseconds: over 2^32 they are never reached",
		hazards(fault.Flood, fault.WaterWasted),
		"",
		wrapped(func(w wrap) bool { return w.unsigned }),
	},
	{"start-repeated", "a clock that is put back runs a start a second time",
		hazards(fault.WaterWasted), "", eachProgramme(func(_ *Controller, p *programme) { p.notTwice = 0 })},
	{"clock-unset-trusted", "a clock that was never set counts from its epoch, and programmes run by it",
		hazards(fault.SilentFailure, fault.WaterWasted), "", clockUnsetTrusted},
	{"no-watchdog", "the watchdog is fed by an interrupt, and not by the loop: a loop that hangs stays so",
		hazards(fault.Flood, fault.DryRunning), "", func(c *Controller) { c.firmware.bitesAfter = long }},
	{"update-holds-outputs", "an update is written while the outputs stay what they are",
		hazards(fault.Flood), "", updateHoldsOutputs},
	{"settings-unchecked", "settings are used without a checksum: half written, a limit of zero is none",
		hazards(fault.WaterWasted), "", withFill(settingsUnchecked)},
	{"setting-renews", "a limit that is changed in mid-run begins its time anew",
		hazards(fault.WaterWasted), "", withFill(settingRenews)},
	{"settings-lost-silent", "settings that are lost are replaced by those of the factory, and no alert is sent",
		hazards(
			fault.SilentFailure,
		), "", func(c *Controller) { c.tells = muted{c.tells, []string{harness.AlertSettingsLost}} }},
	{"half-open-trusted", "a connection is believed in until somebody ends it, whether anything is answered or not",
		hazards(fault.SilentFailure), "", func(c *Controller) { c.network.silentFor = long }},
	{"stop-spares-timed", "a remote stop ends only what was started without a time",
		hazards(fault.WaterWasted), "", eachZone(stopSparesTimed)},
	{"spike-clears", "one wet reading ends a soak and clears the count of cycles, and the next dry one begins a cycle",
		hazards(fault.WaterWasted), "", withMoisture(spikeClears)},
}
