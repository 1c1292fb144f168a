package controller

import (
	"fmt"
	"slices"

	"ullage/harness"
)

// Protection is something in the controller that keeps a fault from becoming a hazard, and can be taken out.
type Protection struct {
	Ability harness.Ability
	Mistake string // the mistake in firmware that taking it out stands for
}

// Protections lists what Without can take out.
func Protections() []Protection {
	return []Protection{
		{harness.ContactFilters, "the state of a contact is used as the pin is read, without a debounce"},
		{harness.LongestRun, "the fill waits for its contact and has no time limit"},
		{harness.LockOut, "failed fills are not counted: it tries for ever"},
		{harness.CutOff, "the cut-off contact is set up but never looked at"},
		{harness.Interlock, "the pump follows its programme and nobody asks the low-water contact"},
		{harness.RunLimit, "a remote start runs as long as the message says, or until the stop message comes"},
		{harness.FlowAlarms, "pulses are counted for the display only"},
		{harness.ProbeChecks, "a reading outside the calibration is clamped to 0 to 100 % and believed"},
		{harness.CycleLimit, "moisture cycles are not counted: it waters until the probe says wet"},
		{harness.AlertSpacing, "every detection sends an alert, also of a state that lasts"},
		{harness.OfflineMemory, "alerts are sent at once or, without a connection, lost"},
		{harness.SafeBoot, "outputs are not set up before the end of the boot and float to on"},
		{harness.KeepsCharge, "the supply is measured for the display only: it opens whatever it can open"},
		{harness.Reports, "the timer of the reports is never started"},
	}
}

// Without takes protections out, to show that a suite notices.
func Without(protections ...harness.Ability) Option {
	return func(c *Controller) error {
		for _, a := range protections {
			if !slices.ContainsFunc(Protections(), func(p Protection) bool { return p.Ability == a }) {
				return fmt.Errorf("controller: %q is not a protection that can be taken out", a)
			}
			c.without[a] = true
		}
		return nil
	}
}
