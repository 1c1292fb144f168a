package fault

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"ullage/harness/console"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// ByTarget prints the catalogue by the kind of device that a fault applies to, in the order of the catalogue.
func ByTarget() string {
	var kinds []string
	for _, e := range catalogue {
		if !slices.Contains(kinds, e.DeviceKind) {
			kinds = append(kinds, e.DeviceKind)
		}
	}
	return listing(kinds, func(e Entry, kind string) bool { return e.DeviceKind == kind })
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
	awaiting := 0
	for _, e := range catalogue {
		if e.Awaits != "" {
			awaiting++
		}
	}
	fmt.Fprintf(&b, "%d faults, %d of them listed, not yet simulated. Details: ullage faults ID. "+
		"By what was seen: ullage faults --symptom \"tank overflowed overnight\"\n%s\n", len(catalogue), awaiting, Caution)
	return b.String()
}

// waits marks a fault that is not yet simulated.
func (e Entry) waits() string {
	if e.Awaits == "" {
		return ""
	}
	return " (listed, not yet simulated: it waits for " + e.Awaits + ")"
}

// Describe prints an entry whole, with examples of its phrases on the first of some sites that has a target for it.
func (e Entry) Describe(sites []*sitefile.Site) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s%s\n\n", e.ID, e.Name, e.waits())
	section := func(head string, lines ...string) {
		fmt.Fprintf(&b, "%s\n", head)
		for _, line := range lines {
			fmt.Fprintf(&b, "    %s\n", line)
		}
	}
	section("Applies to", "a "+e.DeviceKind)
	section("Mechanism", e.Mechanism)
	if len(e.Parameters) > 0 {
		section("Parameters")
	}
	for _, p := range e.Parameters {
		section(fmt.Sprintf("    %s: %s by default, at worst %s; %s to %s", p.Name, quantity.Format(p.Default, p.Dim),
			quantity.Format(p.Worst, p.Dim), quantity.Format(p.Min, p.Dim), quantity.Format(p.Max, p.Dim)),
			"    source: "+p.Source, "    worst: "+p.worstSource())
	}
	section("What a customer says")
	for _, s := range e.Symptoms {
		fmt.Fprintf(&b, "    “%s”\n", s)
	}
	section("Distinguishing check", e.Check, e.Caution())
	section("Ask", e.Ask)
	section("Local effect", e.LocalEffect)
	section("End effect, with nothing that protects", e.EndEffect)
	var hazards, examples []string
	for _, h := range e.Hazards {
		hazards = append(hazards, string(h))
	}
	section("Hazards", strings.Join(hazards, ", "))
	for _, p := range e.Phrases {
		examples = append(examples, e.Example(p, sites))
	}
	head := "In a scenario"
	if e.Awaits != "" {
		head = "In a scenario, refused until then"
	}
	section(head, examples...)
	return b.String() + "\n" + Caution + "\n"
}

// worstSource is where the worst value of a parameter comes from.
func (p Parameter) worstSource() string {
	if p.WorstSource == "" {
		return practice
	}
	return p.WorstSource
}

// Listed prints causes, likeliest first, each with its distinguishing check, and the questions that separate the first
// two.
func Listed(hits []Hit) string {
	var b strings.Builder
	for i, h := range hits {
		fmt.Fprintf(&b, "%d. %s (%s)%s\n", i+1, h.Name, h.ID, h.waits())
		if h.Symptom != "" {
			fmt.Fprintf(&b, "     “%s”\n", h.Symptom)
		}
		for _, line := range append(console.Wrap("Check: "+h.Check, 110), h.Caution()) {
			fmt.Fprintf(&b, "     %s\n", line)
		}
	}
	if len(hits) > 1 {
		fmt.Fprintf(&b, "\nTo tell 1 from 2, ask:\n  %s Then 1.\n  %s Then 2.\n", hits[0].Ask, hits[1].Ask)
	}
	return b.String() + "\n" + Caution + "\n"
}

// MarshalJSON writes a parameter with the unit of its figures.
func (p Parameter) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Name        string  `json:"name"`
		Unit        string  `json:"unit,omitempty"`
		Default     float64 `json:"default"`
		Worst       float64 `json:"worst"`
		Min         float64 `json:"min"`
		Max         float64 `json:"max"`
		Source      string  `json:"source"`
		WorstSource string  `json:"worst_source"`
	}{p.Name, quantity.Unit(p.Dim), p.Default, p.Worst, p.Min, p.Max, p.Source, p.worstSource()})
}
