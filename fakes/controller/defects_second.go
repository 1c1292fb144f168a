package controller

import (
	"math"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// secondList was written from the rules and the settings of the shipped sites alone, when the suite caught the whole
// first list, to learn how much of what nobody had thought of a suite notices.
var secondList = []Defect{
	{"cut-off-edge", "the cut-off waits for an edge: a contact that has operated before the boot is not seen",
		hazards(fault.Flood), "", withCutOff(func(c *Controller, r *cutOff) { onEdges(c, r, &r.contact) })},
	{"cut-off-stays", "the cut-off keeps its outputs shut until a restart",
		hazards(fault.DryOut), "", withCutOff(cutOffStays)},
	{"attempts-not-cleared", "a fill that succeeds does not clear the count of failed ones",
		hazards(fault.DryOut), "", withFill(attemptsNotCleared)},
	{"fill-time-not-renewed", "after a failed fill the time of the next counts from the beginning of the first",
		hazards(fault.DryOut), "", withFill(fillTimeNotRenewed)},
	{"pause-from-start", "the pause after a failed fill counts from the beginning of the fill",
		hazards(fault.DryOut), "", withFill(pauseFromStart)},
	{"low-wins", "while the low contact is operated the high contact is not looked at",
		hazards(fault.Flood), "", withFill(lowWins)},
	{"lock-out-silent", "filling is locked out and no alert is sent",
		hazards(
			fault.SilentFailure,
		), "", withFill(func(_ *Controller, f *fill) { f.alerts = muted{f.alerts, []string{harness.AlertFillLockedOut}} })},
	{"interlock-edge", "the interlock waits for an edge: a contact that has operated before the boot is not seen",
		hazards(fault.DryRunning), "", withInterlock(func(c *Controller, r *interlock) { onEdges(c, r, &r.contact) })},
	{"interlock-stays", "once the interlock has stopped the pump it stays off until a restart",
		hazards(fault.DryOut), "", withInterlock(interlockStays)},
	{"interlock-slow", "the interlock waits a minute to be sure",
		hazards(fault.DryRunning), "", withInterlock(func(_ *Controller, r *interlock) { r.stops.on = signal.Minute })},
	{"first-ban-decides", "of what forbids an output only the first in the list is asked: the loop returns too early",
		hazards(fault.DryRunning, fault.Flood), "", firstBanDecides},
	{"first-end-shuts", "the first rule that ends shuts the outputs that it shares with others",
		hazards(fault.DryOut), "", firstEndShuts},
	{"remote-adds", "a further remote start adds its time to what is left",
		hazards(fault.WaterWasted), "", eachZone(remoteAdds)},
	{"run-limit-shared", "all zones share one timer for the run limit, and a start of another begins it anew",
		hazards(fault.WaterWasted), "", eachZone(runLimitShared)},
	{"probe-low-end-trusted", "a reading below the calibration is clamped to 0 % and believed",
		hazards(
			fault.WaterWasted,
			fault.SilentFailure,
		), "", withProbe(func(_ *Controller, p *probe) { p.least = math.Inf(-1) })},
	{"probe-high-end-trusted", "a reading above the calibration is clamped to 100 % and believed",
		hazards(
			fault.DryOut,
			fault.SilentFailure,
		), "", withProbe(func(_ *Controller, p *probe) { p.most = math.Inf(1) })},
	{"probe-forgiven", "one plausible reading after a failure of the probe is enough to begin a cycle",
		hazards(fault.WaterWasted), "", withProbe(func(_ *Controller, p *probe) { p.distrust = 0 })},
	{"cycles-not-cleared", "cycles that reached the upper threshold count towards giving up",
		hazards(fault.DryOut), "", withMoisture(cyclesNotCleared)},
	{"rest-for-ever", "watering that was given up is not taken up again until a restart",
		hazards(fault.DryOut), "", withMoisture(func(_ *Controller, m *moisture) { m.restAfter = long })},
	{"programme-resumes", "a programme that a restart has broken off runs again from its beginning",
		hazards(fault.WaterWasted), "", eachProgramme(programmeResumes)},
	{"clock-lost", "the clock shows Sunday 00:00 after a restart",
		hazards(fault.DryOut, fault.WaterWasted), "", clockLost},
	{"leak-window-ignored", "pulses without a call are added up however far apart they come",
		hazards(fault.AlarmFlood), "", withFlow(func(_ *Controller, f *flow) { f.within = long })},
	{"leak-said-once", "after one alarm for flow without a call it is not looked for until a restart",
		hazards(fault.SilentFailure), "", withFlow(leakSaidOnce)},
	{"flow-spacing-shared", "a call without flow keeps back the alert for flow without a call",
		hazards(fault.SilentFailure), "", flowSpacingShared},
	{"loss-clears", "alerts that wait when the connection is lost, or not made, are forgotten",
		hazards(fault.SilentFailure), "", lossClears},
	{"reconnect-gives-up", "after ten connections that failed no further one is tried",
		hazards(fault.SilentFailure), "", reconnectGivesUp},
	{"restart-silent", "a restart sends no alert",
		hazards(
			fault.SilentFailure,
		), "", func(c *Controller) { c.tells = muted{c.tells, []string{harness.AlertRestarted}} }},
	{"no-shut-at-boot", "a latching or motorised valve is taken for shut after a boot and is not driven shut",
		hazards(fault.Flood, fault.WaterWasted), "", noShutAtBoot},
	{"charge-at-start", "the supply is looked at before a latching valve opens, and not while one is open",
		hazards(fault.Flood, fault.WaterWasted), "", chargeAtStart},
	{"charge-silent", "latching valves are kept shut on a low supply and no alert is sent",
		hazards(fault.SilentFailure), "", chargeSilent},
}
