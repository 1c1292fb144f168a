package fault

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"ullage/harness/quantity"
)

// ByTarget prints the catalogue by the kind of device that a fault befalls, in the order of the catalogue.
func ByTarget() string {
	var kinds []string
	for _, e := range catalogue {
		if !slices.Contains(kinds, e.Kind) {
			kinds = append(kinds, e.Kind)
		}
	}
	return listing(kinds, func(e Entry, kind string) bool { return e.Kind == kind })
}

// ByHazard prints the catalogue by what a fault can lead to; a fault stands under each of its hazards.
func ByHazard() string {
	var hazards []string
	for _, h := range Hazards() {
		hazards = append(hazards, string(h))
	}
	return listing(hazards, func(e Entry, hazard string) bool { return slices.Contains(e.Hazards, Hazard(hazard)) })
}

func listing(heads []string, under func(Entry, string) bool) string {
	widest := 0
	for _, e := range catalogue {
		widest = max(widest, len(e.ID))
	}
	var b strings.Builder
	for _, head := range heads {
		fmt.Fprintf(&b, "%s\n", head)
		for _, e := range catalogue {
			if under(e, head) {
				fmt.Fprintf(&b, "  %-*s  %s\n", widest, e.ID, e.Name+e.waits())
			}
		}
		b.WriteByte('\n')
	}
	declared := 0
	for _, e := range catalogue {
		if e.Awaits != "" {
			declared++
		}
	}
	fmt.Fprintf(&b, "%d faults, %d of them declared only. One whole: ullage faults ID. By what was seen: ullage faults --symptom \"tank overflowed overnight\"\n",
		len(catalogue), declared)
	return b.String()
}

// waits marks a fault that is declared and does not act.
func (e Entry) waits() string {
	if e.Awaits == "" {
		return ""
	}
	return " (declared: acts once " + e.Awaits + " are simulated)"
}

// Describe prints an entry whole.
func (e Entry) Describe() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s%s\n\n", e.ID, e.Name, e.waits())
	section := func(head, text string) {
		if text != "" {
			fmt.Fprintf(&b, "%s\n    %s\n", head, text)
		}
	}
	section("Befalls", "a "+e.Kind)
	section("Mechanism", e.Mechanism)
	if len(e.Parameters) > 0 {
		fmt.Fprintln(&b, "Parameters")
		for _, p := range e.Parameters {
			fmt.Fprintf(&b, "    %s: %s; %s to %s\n        source: %s\n", p.Name, quantity.Format(p.Default, p.Dim),
				quantity.Format(p.Min, p.Dim), quantity.Format(p.Max, p.Dim), p.Source)
		}
	}
	fmt.Fprintln(&b, "What a customer says")
	for _, s := range e.Symptoms {
		fmt.Fprintf(&b, "    “%s”\n", s)
	}
	section("What tells it from others", e.Check)
	section("Local effect", e.LocalEffect)
	section("End effect, with nothing that protects", e.EndEffect)
	var hazards []string
	for _, h := range e.Hazards {
		hazards = append(hazards, string(h))
	}
	section("Hazards", strings.Join(hazards, ", "))
	if e.Awaits == "" {
		section("In a scenario", e.Example)
	} else {
		section("In a scenario, refused until then", e.Example)
	}
	return b.String()
}

// Listed prints causes, likeliest first, each with the check that tells it from the others.
func Listed(causes []Cause) string {
	var b strings.Builder
	for i, c := range causes {
		fmt.Fprintf(&b, "%2d. %s (%s)\n", i+1, c.Name, c.ID)
		if c.Symptom != "" {
			fmt.Fprintf(&b, "      “%s”\n", c.Symptom)
		}
		fmt.Fprintf(&b, "      Check: %s\n", c.Check)
	}
	return b.String()
}

// MarshalJSON writes a parameter with the unit of its figures.
func (p Parameter) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Name    string  `json:"name"`
		Unit    string  `json:"unit,omitempty"`
		Default float64 `json:"default"`
		Min     float64 `json:"min"`
		Max     float64 `json:"max"`
		Source  string  `json:"source"`
	}{p.Name, quantity.Unit(p.Dim), p.Default, p.Min, p.Max, p.Source})
}
