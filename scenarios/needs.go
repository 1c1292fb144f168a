package scenarios

import (
	"fmt"
	"slices"
	"strings"

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

// alertNeeds is what a controller must be able to do to have a reason for an alert.
var alertNeeds = map[string][]harness.Ability{
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

// tags notes what the tags of the scenario ask for.
func (c *compiler) tags() {
	c.step.Line = c.scenario.Line
	for _, tag := range c.scenario.Tags {
		name, ok := strings.CutPrefix(tag, protectionTag)
		if !ok {
			continue
		}
		ability, ok := protections[name]
		if !ok {
			c.name(name, fmt.Sprintf("after %s a protection", protectionTag), sorted(protections))
			continue
		}
		c.need(ability)
	}
}

// needOutput notes the rules without which an output would never be on: filling, or watering as a zone.
func (c *compiler) needOutput(name string) {
	if c.site == nil {
		return
	}
	if f := c.site.Controller.Settings.Fill; f != nil && f.Valve == name {
		c.need(harness.FillRule)
	}
	c.needZone(name)
}

// needZone notes what makes a zone run: a remote start of the scenario, or else the moisture rule and the programme.
func (c *compiler) needZone(zone string) {
	started := slices.ContainsFunc(c.script.Acts, func(a harness.Act) bool { return a.Fault == "" && a.Target == zone })
	if c.site == nil || started {
		return
	}
	if m := c.site.Controller.Settings.Moisture; m != nil && m.Zone == zone {
		c.need(harness.MoistureRule)
	}
	for _, p := range c.site.Controller.Settings.Programmes {
		if p.Zone == zone {
			c.need(harness.Programme)
		}
	}
}

// needContact notes the rules that look at a contact. The interlock is among them where the contact has no other use.
func (c *compiler) needContact(name string) {
	if c.site == nil {
		return
	}
	s := c.site.Controller.Settings
	switch {
	case s.Fill != nil && (s.Fill.Low == name || s.Fill.High == name):
		c.need(harness.FillRule)
	case s.CutOff != nil && s.CutOff.Contact == name:
		c.need(harness.CutOff)
	case s.Interlock != nil && s.Interlock.BlockedBy == name:
		c.need(harness.Interlock)
	}
}

// needProbe notes the rule that looks at a probe, and needBed that which looks at a probe in a bed.
func (c *compiler) needProbe(name string) {
	if c.site == nil {
		return
	}
	if m := c.site.Controller.Settings.Moisture; m != nil && m.Probe == name {
		c.need(harness.MoistureRule)
	}
}

func (c *compiler) needBed(name string) {
	if c.site == nil {
		return
	}
	for _, p := range c.site.Probes {
		if p.In == name {
			c.needProbe(p.Name)
		}
	}
}
