package harness

import (
	"slices"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Rule is what one rule of a site's settings looks at and what it decides. What changes at an input of a rule can
// matter to an outcome on what the rule decides, whether or not anything came of it.
type Rule struct {
	Name    string   // as in the settings
	Inputs  []string // devices at input terminals, PowerName, NetworkInput, ClockInput, LongestRunInput, FirmwareInput
	Outputs []string // devices at output terminals that it calls for or forbids
	Forbids bool     // it ends or forbids, and calls for nothing
	While   []string // its inputs matter only while one of these outputs is on; nil: always
	Alerts  []string // that it can raise
	States  []signal.Signal
}

// Inputs of rules that are no device at a terminal.
const (
	NetworkInput    = "network"     // what the controller receives from the network
	ClockInput      = "clock"       // its time of day
	LongestRunInput = "longest run" // of a fill, changed while it runs
	FirmwareInput   = "firmware"    // what else happens inside the controller: a reset, a wrapped counter, lost settings
)

// Rules lists the rules of a site's settings. The site's defaults must have been filled in. All of them end with a loss
// of power and with what goes wrong inside the firmware, so both are inputs of each.
func Rules(site *sitefile.Site) []Rule {
	s := site.Controller.Settings
	controller := signal.Controller
	var rules []Rule
	if f := s.Fill; f != nil { // the low contact calls, the high contact and the longest run end the call
		rules = append(rules, Rule{Name: "fill", Inputs: named(f.Low, f.High, LongestRunInput),
			Outputs: with(f.Valve, f.With), Alerts: []string{AlertFillTooLong, AlertFillLockedOut},
			States: []signal.Signal{controller.Filling(), controller.LockedOut()}})
	}
	if c := s.CutOff; c != nil { // the contact forbids outputs, whoever calls for them
		rules = append(rules, Rule{Name: "cut-off", Inputs: named(c.Contact), Outputs: c.Shuts, Forbids: true,
			Alerts: []string{AlertSpill}})
	}
	if i := s.Interlock; i != nil { // the contact forbids the pump, whoever calls for it
		rules = append(rules, Rule{Name: "interlock", Inputs: named(i.BlockedBy), Outputs: named(i.Pump), Forbids: true,
			Alerts: []string{AlertDryRun}})
	}
	if m := s.Moisture; m != nil { // the reading calls, or is refused
		rules = append(rules, Rule{Name: "moisture", Inputs: named(m.Probe), Outputs: with(m.Zone, m.With),
			Alerts: []string{AlertProbeFault, AlertStillDry}, States: []signal.Signal{controller.Moisture()}})
	}
	for _, p := range s.Programmes { // the clock calls
		rules = append(rules, Rule{Name: "programme", Inputs: named(ClockInput), Outputs: with(p.Zone, p.With),
			Alerts: []string{AlertClockNotSet}})
	}
	if r := s.Remote; r != nil { // a command calls, another or the run limit ends the call
		for _, z := range r.Zones {
			rules = append(rules, Rule{Name: "remote", Inputs: named(NetworkInput), Outputs: with(z.Zone, z.With),
				Alerts: []string{AlertRunLimit}})
		}
	}
	rules = append(rules, flowAlarms(s.FlowAlarms, rules)...)
	// Messages: the network carries alerts and reports, repeats and keeps them; the supply and the memory have alerts
	// of their own.
	rules = append(rules, Rule{Name: "messages", Inputs: named(NetworkInput), Alerts: AlertNames(),
		States: []signal.Signal{signal.Cloud.Report(), signal.Cloud.Alerts(), signal.WiFi.Session(),
			controller.Received()}})
	for i := range rules {
		rules[i].Inputs = append(rules[i].Inputs, PowerName, FirmwareInput)
	}
	return rules
}

// flowAlarms are the rules of the meter: missing pulses end every call that has a counted output, which has then
// failed; pulses are missed, or too many, by what the callers do.
func flowAlarms(f *sitefile.FlowAlarms, callers []Rule) []Rule {
	if f == nil {
		return nil
	}
	var rules []Rule
	alerts := Rule{Name: "flow alarms", Inputs: named(f.Meter), Alerts: []string{AlertNoFlow, AlertFlowWithoutCall}}
	for _, r := range callers {
		counted := both(r.Outputs, f.Counts)
		if len(counted) == 0 {
			continue
		}
		alerts.Inputs = append(alerts.Inputs, r.Inputs...)
		if !r.Forbids {
			rules = append(rules, Rule{Name: "flow alarms", Inputs: named(f.Meter), Outputs: r.Outputs, Forbids: true,
				While: counted, Alerts: r.Alerts, States: r.States})
		}
	}
	return append(rules, alerts)
}

// named are the names that are given.
func named(names ...string) []string {
	return slices.DeleteFunc(names, func(name string) bool { return name == "" })
}

func with(output string, more []string) []string { return append([]string{output}, more...) }

// both lists the names that two lists have in common.
func both(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(a), func(name string) bool { return !slices.Contains(b, name) })
}
