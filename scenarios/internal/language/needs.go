package language

import (
	"maps"
	"slices"

	"ullage/harness"
)

// protectionTag begins a tag that names the protection which a scenario is about: @protection-cut-off. The controller
// must claim to have it.
const protectionTag = "@protection-"

// protections are the protections that tags may name.
var protections = map[string]harness.Ability{
	"debounce":       harness.ContactFilters,
	"longest-run":    harness.LongestRun,
	"lock-out":       harness.LockOut,
	"cut-off":        harness.CutOff,
	"interlock":      harness.Interlock,
	"run-limit":      harness.RunLimit,
	"flow-alarms":    harness.FlowAlarms,
	"probe-checks":   harness.ProbeChecks,
	"cycle-limit":    harness.CycleLimit,
	"alert-spacing":  harness.AlertSpacing,
	"offline-memory": harness.OfflineMemory,
	"safe-boot":      harness.SafeBoot,
	"reports":        harness.Reports,
	"keep-charge":    harness.KeepsCharge,
}

// ProtectionTag is the tag of the scenarios about a protection, "" for an ability that is none.
func ProtectionTag(a harness.Ability) string {
	for name, ability := range protections {
		if ability == a {
			return protectionTag + name
		}
	}
	return ""
}

// AlertNeeds is what a controller must be able to do to have a reason for an alert.
var AlertNeeds = map[string][]harness.Ability{
	harness.AlertFillTooLong:     {harness.FillRule, harness.LongestRun},
	harness.AlertFillLockedOut:   {harness.FillRule, harness.LockOut},
	harness.AlertSpill:           {harness.CutOff},
	harness.AlertNoFlow:          {harness.FlowAlarms},
	harness.AlertFlowWithoutCall: {harness.FlowAlarms},
	harness.AlertProbeFault:      {harness.MoistureRule, harness.ProbeChecks},
	harness.AlertStillDry:        {harness.MoistureRule, harness.CycleLimit},
	harness.AlertDryRun:          {harness.Interlock},
	harness.AlertRestarted:       {},
	harness.AlertRunLimit:        {harness.RemoteStart, harness.RunLimit},
	harness.AlertLowBattery:      {harness.KeepsCharge},
	harness.AlertSettingsLost:    {},
	harness.AlertClockNotSet:     {harness.Programme},
}

// faultNeeds is what a controller must be able to do for a fault to have an effect, besides what its target asks for.
var faultNeeds = map[string][]harness.Ability{"controller.settings-changed": {harness.FillRule}}

// NeedOutput notes the rules without which an output would never be on: filling, or watering as a zone.
func (c *Compiler) NeedOutput(name string) {
	if c.Site == nil {
		return
	}
	if f := c.Site.Controller.Settings.Fill; f != nil && f.Valve == name {
		c.Need(harness.FillRule)
	}
	c.NeedZone(name)
}

// NeedZone notes what makes a zone run: a remote start of the scenario, or else the moisture rule and the programme.
func (c *Compiler) NeedZone(zone string) {
	started := slices.ContainsFunc(c.Script.Acts, func(a harness.Act) bool { return a.Fault == "" && a.Target == zone })
	if c.Site == nil || started {
		return
	}
	if m := c.Site.Controller.Settings.Moisture; m != nil && m.Zone == zone {
		c.Need(harness.MoistureRule)
	}
	for _, p := range c.Site.Controller.Settings.Programmes {
		if p.Zone == zone {
			c.Need(harness.Programme)
		}
	}
}

// NeedContact notes the rules that look at a contact. The interlock is among them where the contact has no other use.
func (c *Compiler) NeedContact(name string) {
	if c.Site == nil {
		return
	}
	s := c.Site.Controller.Settings
	switch {
	case s.Fill != nil && (s.Fill.Low == name || s.Fill.High == name):
		c.Need(harness.FillRule)
	case s.CutOff != nil && s.CutOff.Contact == name:
		c.Need(harness.CutOff)
	case s.Interlock != nil && s.Interlock.BlockedBy == name:
		c.Need(harness.Interlock)
	}
}

// needProbe notes the rule that looks at a probe.
func (c *Compiler) needProbe(name string) {
	if c.Site == nil {
		return
	}
	if m := c.Site.Controller.Settings.Moisture; m != nil && m.Probe == name {
		c.Need(harness.MoistureRule)
	}
}

// NeedBed notes the rule that looks at a probe in a bed.
func (c *Compiler) NeedBed(name string) {
	if c.Site == nil {
		return
	}
	for _, p := range c.Site.Probes {
		if p.In == name {
			c.needProbe(p.Name)
		}
	}
}

// sorted lists the names of a table in order.
func sorted(table map[string]harness.Ability) []string { return slices.Sorted(maps.Keys(table)) }
