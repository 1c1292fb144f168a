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
	Inputs  []string // devices at input terminals, PowerName, NetworkInput, FirmwareInput
	Outputs []string // devices at output terminals that it calls for or forbids
	Alerts  []string // that it can raise
	States  []signal.Signal
}

// Inputs of rules that are no device at a terminal.
const (
	NetworkInput  = "network"  // what the controller receives from the network
	FirmwareInput = "firmware" // what happens inside the controller: a reset, a step of its clock, a wrapped counter
)

// Rules lists the rules of a site's settings. The site's defaults must have been filled in. All of them end with a loss
// of power and with what goes wrong inside the firmware, so both are inputs of each.
func Rules(site *sitefile.Site) []Rule {
	s := site.Controller.Settings
	controller := signal.Controller
	var rules []Rule
	if f := s.Fill; f != nil { // the low contact calls, the high contact and the longest run end the call
		rules = append(rules, Rule{Name: "fill", Inputs: named(f.Low, f.High), Outputs: with(f.Valve, f.With),
			Alerts: []string{AlertFillTooLong, AlertFillLockedOut},
			States: []signal.Signal{controller.Filling(), controller.LockedOut()}})
	}
	if c := s.CutOff; c != nil { // the contact forbids outputs, whoever calls for them
		rules = append(rules, Rule{Name: "cut-off", Inputs: named(c.Contact), Outputs: c.Shuts,
			Alerts: []string{AlertSpill}})
	}
	if i := s.Interlock; i != nil { // the contact forbids the pump, whoever calls for it
		rules = append(rules, Rule{Name: "interlock", Inputs: named(i.BlockedBy), Outputs: named(i.Pump),
			Alerts: []string{AlertDryRun}})
	}
	if m := s.Moisture; m != nil { // the reading calls, or is refused
		rules = append(rules, Rule{Name: "moisture", Inputs: named(m.Probe), Outputs: with(m.Zone, m.With),
			Alerts: []string{AlertProbeFault, AlertStillDry}, States: []signal.Signal{controller.Moisture()}})
	}
	for _, p := range s.Programmes { // the clock calls, which is inside the controller
		rules = append(rules, Rule{Name: "programme", Outputs: with(p.Zone, p.With),
			Alerts: []string{AlertClockNotSet}})
	}
	if r := s.Remote; r != nil { // a command calls, another or the run limit ends the call
		for _, z := range r.Zones {
			rules = append(rules, Rule{Name: "remote", Inputs: named(NetworkInput), Outputs: with(z.Zone, z.With),
				Alerts: []string{AlertRunLimit}})
		}
	}
	// missing pulses end a call, which has then failed; they are missed only while there is one
	if f := s.FlowAlarms; f != nil {
		alarms := Rule{Name: "flow alarms", Inputs: named(f.Meter), Outputs: f.Counts}
		alerts := Rule{Name: "flow alarms", Inputs: named(f.Meter), Alerts: []string{AlertNoFlow, AlertFlowWithoutCall}}
		for i := range rules {
			if meet(rules[i].Outputs, f.Counts) {
				alerts.Inputs = append(alerts.Inputs, rules[i].Inputs...)
				rules[i].Inputs = append(rules[i].Inputs, f.Meter)
			}
		}
		rules = append(rules, alarms, alerts)
	}
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

// named are the names that are given.
func named(names ...string) []string {
	return slices.DeleteFunc(names, func(name string) bool { return name == "" })
}

func with(output string, more []string) []string { return append([]string{output}, more...) }

// decides reports whether an outcome on a signal is one on what the rule decides: on an output or an alert, on what the
// controller says of the rule, or, by the water behind an output, on anything that its water reaches or comes from.
func (r *Rule) decides(s signal.Signal, joined func(a, b string) bool) bool {
	if slices.Contains(r.States, s) {
		return true
	}
	for _, alert := range r.Alerts {
		if s == signal.Controller.Alert(alert) || s == signal.Cloud.Alert(alert) || s == signal.Cloud.Alerts() {
			return true
		}
	}
	return slices.ContainsFunc(r.Outputs, func(output string) bool {
		return output == s.Device ||
			joined(output, s.Device)
	})
}

// joined reports which devices share water: by pipes, tanks and beds, contacts and probes with what they stand in. An
// output is joined with all of these but with no other output, which has rules of its own; the totals of the site are
// joined with all.
func joined(site *sitefile.Site) func(a, b string) bool {
	group := map[string]string{}
	var find func(string) string
	find = func(name string) string {
		if up, ok := group[name]; ok && up != name {
			return find(up)
		}
		return name
	}
	join := func(a, b string) {
		if a != "" && b != "" {
			group[find(a)] = find(b)
		}
	}
	for _, inlet := range site.Inlets() {
		join(inlet.Name, inlet.From)
	}
	for _, p := range site.Pipes {
		join(p.Name, p.Joins)
	}
	for _, o := range site.Outlets {
		join(o.Name, o.Onto)
		join(o.Name, o.Into)
	}
	for _, l := range site.Laterals {
		join(l.Name, l.Onto)
	}
	for _, c := range site.Contacts {
		join(c.Name, c.In)
	}
	for _, p := range site.Probes {
		join(p.Name, p.In)
	}
	output := map[string]bool{}
	for _, t := range site.Controller.Terminals {
		output[t.Output] = true
	}
	return func(a, b string) bool {
		return b == string(signal.Site) || !output[b] && find(a) == find(b)
	}
}
