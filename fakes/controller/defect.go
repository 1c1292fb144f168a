package controller

import (
	"fmt"
	"slices"

	"ullage/harness"
	"ullage/harness/fault"
)

// Defect is one mistake that firmware really makes. The controller can be built with it, to show that a suite notices.
type Defect struct {
	ID      string          // "no-longest-run"
	Mistake string          // what the firmware does
	Hazards []fault.Hazard  // that it lets happen
	Takes   harness.Ability // the protection that is missing whole; "" where one is there and spoilt
}

// mistake numbers the defects in the order of Defects.
type mistake uint8

// The mistakes, by the rule that makes them.
const (
	noDebounce mistake = iota
	debounceBlocks

	noCutOff
	cutOffAtStart
	cutOffPolled
	cutOffSlow
	cutOffOneOutput
	cutOffPulse
	cutOffSilent

	noLongestRun
	longestRunRenewed
	longestRunInCloud
	noLockOut
	lockOutForgotten
	attemptsForgotten
	noPause
	fillsAtBoot

	noInterlock
	interlockAtStart
	interlockPolled
	interlockNoWait
	interlockNotRemote
	interlockSilent

	noRunLimit
	runLimitRenewed
	stopNeedsNetwork
	remoteResumes

	probeTrusted
	probeKeepsLast
	noCycleLimit
	cyclesForgotten
	restForgotten

	noFlowAlarms
	noFlowGoesOn
	noFlowFirstOnly
	leakSettlesLong
	leakNeedsNetwork

	noAlertSpacing
	spacingShared
	spacingForgotten
	alertOnce
	noOfflineMemory
	oldestKept
	alertNotRepeated
	acknowledgementIgnored
	reconnectBlocks
	publishBlocks
	noReports

	unsafeBoot
	outputsHeld
	noBrownOut
	noChargeKept

	startsMadeUp

	firstMistakes // how many the first list has
)

var firstList = [firstMistakes]Defect{
	noDebounce:     {"no-debounce", "the state of a contact is used as the pin is read, without a debounce", hazards(fault.Flood, fault.DryOut, fault.AlarmFlood), harness.ContactFilters},
	debounceBlocks: {"debounce-blocks", "the debounce waits in a loop, and nothing else is looked at until it is over", hazards(fault.Flood, fault.DryRunning), ""},

	noCutOff:      {"no-cut-off", "the cut-off contact is set up but never looked at", hazards(fault.Flood), harness.CutOff},
	cutOffAtStart: {"cut-off-at-start", "the cut-off is asked before a valve opens, and not while it is open", hazards(fault.Flood), ""},
	cutOffPolled:  {"cut-off-polled", "the cut-off is looked at once a minute", hazards(fault.Flood), ""},
	cutOffSlow:    {"cut-off-slow", "the cut-off waits half a minute to be sure", hazards(fault.Flood), ""},
	cutOffOneOutput: {"cut-off-one-output", "the cut-off shuts the first of its outputs, and the master valve stays open",
		hazards(fault.Flood), ""},
	cutOffPulse:  {"cut-off-pulse", "the cut-off ends the run but does not keep the next from beginning", hazards(fault.Flood), ""},
	cutOffSilent: {"cut-off-silent", "the cut-off shuts and tells nobody", hazards(fault.SilentFailure), ""},

	noLongestRun: {"no-longest-run", "the fill waits for its contact and has no time limit", hazards(fault.Flood, fault.WaterWasted), harness.LongestRun},
	longestRunRenewed: {"longest-run-renewed", "every change of the low contact starts the time of the fill again",
		hazards(fault.WaterWasted), ""},
	longestRunInCloud: {"longest-run-in-cloud", "the time of a fill is watched by the cloud, which sends the stop", hazards(fault.Flood, fault.WaterWasted), ""},
	noLockOut:         {"no-lock-out", "failed fills are not counted: it tries for ever", hazards(fault.WaterWasted, fault.SilentFailure), harness.LockOut},
	lockOutForgotten:  {"lock-out-forgotten", "a restart lifts the lock-out", hazards(fault.WaterWasted), ""},
	attemptsForgotten: {"attempts-forgotten", "failed fills are counted in memory that a restart clears", hazards(fault.WaterWasted), ""},
	noPause:           {"no-pause", "a failed fill is tried again at once, until it is locked out", hazards(fault.DryOut), ""},
	fillsAtBoot:       {"fills-at-boot", "contacts are read before their pull-ups have settled, and a fill begins at each start", hazards(fault.WaterWasted, fault.Flood), ""},

	noInterlock:        {"no-interlock", "the pump follows its programme and nobody asks the low-water contact", hazards(fault.DryRunning), harness.Interlock},
	interlockAtStart:   {"interlock-at-start", "the interlock is looked at only when the pump starts", hazards(fault.DryRunning), ""},
	interlockPolled:    {"interlock-polled", "the interlock is looked at once a minute", hazards(fault.DryRunning), ""},
	interlockNoWait:    {"interlock-no-wait", "the pump starts again as soon as the contact lets go", hazards(fault.DryRunning), ""},
	interlockNotRemote: {"interlock-not-remote", "a start from afar goes past the interlock", hazards(fault.DryRunning), ""},
	interlockSilent:    {"interlock-silent", "the interlock keeps the pump off and tells nobody", hazards(fault.SilentFailure), ""},

	noRunLimit: {"no-run-limit", "a remote start runs as long as the message says, or until the stop message comes",
		hazards(fault.Flood, fault.WaterWasted), harness.RunLimit},
	runLimitRenewed:  {"run-limit-renewed", "every further start message begins the run limit anew", hazards(fault.WaterWasted), ""},
	stopNeedsNetwork: {"stop-needs-network", "the end of a remote run waits until it can be reported", hazards(fault.WaterWasted), ""},
	remoteResumes:    {"remote-resumes", "a remote run goes on from its beginning after a restart", hazards(fault.WaterWasted), ""},

	probeTrusted: {"probe-trusted", "a reading outside the calibration is clamped to 0 to 100 % and believed",
		hazards(fault.DryOut, fault.WaterWasted, fault.SilentFailure), harness.ProbeChecks},
	probeKeepsLast: {"probe-keeps-last", "in the place of a reading that cannot be true the last good one is used, for ever", hazards(fault.WaterWasted, fault.SilentFailure), ""},
	noCycleLimit: {"no-cycle-limit", "moisture cycles are not counted: it waters until the probe says wet",
		hazards(fault.WaterWasted, fault.SilentFailure), harness.CycleLimit},
	cyclesForgotten: {"cycles-forgotten", "moisture cycles are counted in memory that a restart clears", hazards(fault.WaterWasted), ""},
	restForgotten:   {"rest-forgotten", "a restart ends the rest after watering was given up", hazards(fault.WaterWasted), ""},

	noFlowAlarms:     {"no-flow-alarms", "pulses are counted for the display only", hazards(fault.WaterWasted, fault.SilentFailure), harness.FlowAlarms},
	noFlowGoesOn:     {"no-flow-goes-on", "a call without flow is reported and goes on, until a fill counts as failed", hazards(fault.DryOut), ""},
	noFlowFirstOnly:  {"no-flow-first-only", "once a pulse has come the flow is not watched any more", hazards(fault.SilentFailure), ""},
	leakSettlesLong:  {"leak-settles-long", "flow without a call is not looked at for an hour after each call", hazards(fault.WaterWasted, fault.SilentFailure), ""},
	leakNeedsNetwork: {"leak-needs-network", "flow without a call is counted only while there is a connection", hazards(fault.SilentFailure), ""},

	noAlertSpacing:         {"no-alert-spacing", "every detection sends an alert, also of a state that lasts", hazards(fault.AlarmFlood), harness.AlertSpacing},
	spacingShared:          {"spacing-shared", "one time between alerts serves all kinds: the first keeps the others back", hazards(fault.SilentFailure), ""},
	spacingForgotten:       {"spacing-forgotten", "a restart forgets what has been sent, and sends it again", hazards(fault.AlarmFlood), ""},
	alertOnce:              {"alert-once", "an alert is sent once and never again until a restart", hazards(fault.SilentFailure), ""},
	noOfflineMemory:        {"no-offline-memory", "alerts are sent at once or, without a connection, lost", hazards(fault.SilentFailure), harness.OfflineMemory},
	oldestKept:             {"oldest-kept", "when the memory for alerts is full the newest are dropped", hazards(fault.SilentFailure), ""},
	alertNotRepeated:       {"alert-not-repeated", "an alert that is sent counts as arrived", hazards(fault.SilentFailure), ""},
	acknowledgementIgnored: {"acknowledgement-ignored", "what has arrived is sent again and again", hazards(fault.AlarmFlood), ""},
	reconnectBlocks:        {"reconnect-blocks", "the loop waits for the connection, and nothing else is looked at meanwhile", hazards(fault.Flood, fault.DryRunning), ""},
	publishBlocks:          {"publish-blocks", "the loop waits for the acknowledgement of each message", hazards(fault.Flood, fault.DryRunning), ""},
	noReports:              {"no-reports", "the timer of the reports is never started", hazards(fault.SilentFailure), harness.Reports},

	unsafeBoot:  {"unsafe-boot", "outputs are not set up before the end of the boot and float to on", hazards(fault.Flood), harness.SafeBoot},
	outputsHeld: {"outputs-held", "the outputs keep their state through a restart until the rules have run", hazards(fault.Flood, fault.WaterWasted), ""},
	noBrownOut:  {"no-brown-out", "without a brown-out detector the loop hangs on a weak supply, with the outputs as they are", hazards(fault.Flood, fault.DryRunning), ""},

	noChargeKept: {"no-charge-kept", "the supply is measured for the display only: it opens whatever it can open", hazards(fault.WaterWasted, fault.Flood), harness.KeepsCharge},

	startsMadeUp: {"starts-made-up", "a start that was missed without power is made up for when power returns", hazards(fault.WaterWasted), ""},
}

func hazards(list ...fault.Hazard) []fault.Hazard { return list }

// defects are all lists, by mistake.
var defects = slices.Concat(firstList[:], secondList[firstMistakes:], thirdList[secondMistakes:])

// Defects lists what the controller can be built with: the first list, which grew together with the suite, then the second and
// the third.
func Defects() []Defect { return slices.Clone(defects) }

// has says whether the controller was built with a mistake.
func (c *Controller) has(m mistake) bool { return c.seeded[m] }

// Seeded builds the controller with a defect.
func Seeded(id string) Option {
	return func(c *Controller) error {
		i := slices.IndexFunc(defects, func(d Defect) bool { return d.ID == id })
		if i < 0 {
			return fmt.Errorf("controller: there is no defect %q to be built with", id)
		}
		c.seeded[i] = true
		return nil
	}
}

// Protections lists the defects that leave a protection out whole.
func Protections() []Defect {
	return slices.DeleteFunc(Defects(), func(d Defect) bool { return d.Takes == "" })
}

// Without takes protections out.
func Without(protections ...harness.Ability) Option {
	return func(c *Controller) error {
		for _, a := range protections {
			i := slices.IndexFunc(defects, func(d Defect) bool { return d.Takes == a && a != "" })
			if i < 0 {
				return fmt.Errorf("controller: %q is not a protection that can be taken out", a)
			}
			c.seeded[i] = true
		}
		return nil
	}
}
