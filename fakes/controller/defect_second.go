package controller

import (
	"slices"

	"ullage/harness/fault"
)

// The mistakes of the second list. It was written from the rules and the settings of the shipped sites alone, when the suite
// caught the whole first list, to learn how much of what nobody had thought of a suite notices at first sight.
const (
	cutOffEdge mistake = firstMistakes + iota
	cutOffStays

	attemptsNotCleared
	fillTimeNotRenewed
	pauseFromStart
	lowWins
	lockOutSilent

	interlockEdge
	interlockStays
	interlockSlow

	firstBanDecides
	firstEndShuts

	remoteAdds
	runLimitShared

	probeLowEndTrusted
	probeHighEndTrusted
	probeForgiven
	cyclesNotCleared
	restForEver

	programmeResumes
	clockLost

	leakWindowIgnored
	leakSaidOnce
	flowSpacingShared

	lossClears
	reconnectGivesUp
	restartSilent

	noShutAtBoot
	chargeAtStart
	chargeSilent

	secondMistakes // how many both lists have
)

// secondList has its defects at the numbers of their mistakes.
var secondList = [secondMistakes]Defect{
	cutOffEdge:  {"cut-off-edge", "the cut-off waits for an edge: a contact that has operated before the boot is not seen", hazards(fault.Flood), ""},
	cutOffStays: {"cut-off-stays", "the cut-off keeps its outputs shut until a restart", hazards(fault.DryOut), ""},

	attemptsNotCleared: {"attempts-not-cleared", "a fill that succeeds does not clear the count of failed ones", hazards(fault.DryOut), ""},
	fillTimeNotRenewed: {"fill-time-not-renewed", "after a failed fill the time of the next counts from the beginning of the first", hazards(fault.DryOut), ""},
	pauseFromStart:     {"pause-from-start", "the pause after a failed fill counts from the beginning of the fill", hazards(fault.DryOut), ""},
	lowWins:            {"low-wins", "while the low contact is operated the high contact is not looked at", hazards(fault.Flood), ""},
	lockOutSilent:      {"lock-out-silent", "filling is locked out and nobody is told", hazards(fault.SilentFailure), ""},

	interlockEdge:  {"interlock-edge", "the interlock waits for an edge: a contact that has operated before the boot is not seen", hazards(fault.DryRunning), ""},
	interlockStays: {"interlock-stays", "once the interlock has stopped the pump it stays off until a restart", hazards(fault.DryOut), ""},
	interlockSlow:  {"interlock-slow", "the interlock waits a minute to be sure", hazards(fault.DryRunning), ""},

	firstBanDecides: {"first-ban-decides", "of what forbids an output only the first in the list is asked: the loop returns too early",
		hazards(fault.DryRunning, fault.Flood), ""},
	firstEndShuts: {"first-end-shuts", "the first rule that ends shuts the outputs that it shares with others", hazards(fault.DryOut), ""},

	remoteAdds:     {"remote-adds", "a further start from afar adds its time to what is left", hazards(fault.WaterWasted), ""},
	runLimitShared: {"run-limit-shared", "all zones share one timer for the run limit, and a start of another begins it anew", hazards(fault.WaterWasted), ""},

	probeLowEndTrusted: {"probe-low-end-trusted", "a reading below the calibration is clamped to 0 % and believed",
		hazards(fault.WaterWasted, fault.SilentFailure), ""},
	probeHighEndTrusted: {"probe-high-end-trusted", "a reading above the calibration is clamped to 100 % and believed",
		hazards(fault.DryOut, fault.SilentFailure), ""},
	probeForgiven:    {"probe-forgiven", "one plausible reading after a failure of the probe is enough to begin a cycle", hazards(fault.WaterWasted), ""},
	cyclesNotCleared: {"cycles-not-cleared", "cycles that reached the upper threshold count towards giving up", hazards(fault.DryOut), ""},
	restForEver:      {"rest-for-ever", "watering that was given up is not taken up again until a restart", hazards(fault.DryOut), ""},

	programmeResumes: {"programme-resumes", "a programme that a restart has broken off runs again from its beginning", hazards(fault.WaterWasted), ""},
	clockLost:        {"clock-lost", "the clock shows Sunday 00:00 after a restart", hazards(fault.DryOut, fault.WaterWasted), ""},

	leakWindowIgnored: {"leak-window-ignored", "pulses without a call are added up however far apart they come", hazards(fault.AlarmFlood), ""},
	leakSaidOnce:      {"leak-said-once", "after one alarm for flow without a call it is not looked for until a restart", hazards(fault.SilentFailure), ""},
	flowSpacingShared: {"flow-spacing-shared", "a call without flow keeps back the alert for flow without a call", hazards(fault.SilentFailure), ""},

	lossClears:       {"loss-clears", "alerts that wait when the connection is lost, or not made, are forgotten", hazards(fault.SilentFailure), ""},
	reconnectGivesUp: {"reconnect-gives-up", "after ten connections that failed no further one is tried", hazards(fault.SilentFailure), ""},
	restartSilent:    {"restart-silent", "a restart is told to nobody", hazards(fault.SilentFailure), ""},

	noShutAtBoot:  {"no-shut-at-boot", "a latching or motorised valve is taken for shut after a boot and is not driven shut", hazards(fault.Flood, fault.WaterWasted), ""},
	chargeAtStart: {"charge-at-start", "the supply is looked at before a latching valve opens, and not while one is open", hazards(fault.Flood, fault.WaterWasted), ""},
	chargeSilent:  {"charge-silent", "latching valves are kept shut on a low supply and nobody is told", hazards(fault.SilentFailure), ""},
}

// SecondList lists the defects of the second list alone.
func SecondList() []Defect { return slices.Clone(secondList[firstMistakes:]) }
