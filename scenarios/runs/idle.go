package runs

import (
	"fmt"
	"slices"
	"strings"

	"ullage/harness/worksheet"
	"ullage/scenarios"
)

// KeptBecause begins the description of a scenario that says why it is kept in the suite although no seeded defect
// makes it fail.
const KeptBecause = "Kept because: "

// Idle are the scenarios of a challenge that caught no defect: with all of them taken out, as many defects would be
// caught. Good days are left out, which show that a defect is a hidden one, and so are scenarios tagged @site-alone, in
// which the controller has no part. The rows of an outline count as one.
func Idle(chosen []*scenarios.Case, answers []Answer) []*scenarios.Case {
	caught := map[string]bool{}
	for _, a := range answers {
		for _, c := range a.Caught {
			caught[key(c.Scenario.File, c.Scenario.Outline)] = true
		}
	}
	var idle []*scenarios.Case
	for _, sc := range chosen {
		place := key(sc.File, sc.Outline)
		if !caught[place] && !slices.Contains(sc.Tags, goodDay) && !slices.Contains(sc.Tags, siteAlone) {
			idle = append(idle, sc)
			caught[place] = true // the other rows of its outline
		}
	}
	return idle
}

// Only are the defects that a single scenario caught, in the order of the answers: without it they would go unnoticed.
func Only(answers []Answer) map[string][]string {
	only := map[string][]string{}
	for _, a := range answers {
		var places []string
		for _, c := range a.Caught {
			places = append(places, key(c.Scenario.File, c.Scenario.Outline))
		}
		slices.Sort(places)
		if places = slices.Compact(places); len(places) == 1 && a.OK() {
			only[places[0]] = append(only[places[0]], a.Name)
		}
	}
	return only
}

// Reason is why a scenario is kept that catches no defect: what its description says after "Kept because: ", or that no
// other of the scenarios plays a fault of its; "" when there is none.
func Reason(sc *scenarios.Case, chosen []*scenarios.Case) string {
	if reason, says := strings.CutPrefix(sc.About, KeptBecause); says {
		return reason
	}
	var alone []string
	for _, tag := range sc.Tags {
		id, is := strings.CutPrefix(tag, worksheet.FaultTag(""))
		elsewhere := func(other *scenarios.Case) bool {
			return key(other.File, other.Outline) != key(sc.File, sc.Outline) && slices.Contains(other.Tags, tag)
		}
		if is && !slices.ContainsFunc(chosen, elsewhere) {
			alone = append(alone, id)
		}
	}
	if alone == nil {
		return ""
	}
	return "No other scenario plays " + strings.Join(alone, ", ") + "."
}

// NoReason is what Worth prints for a scenario that catches no defect and does not say why it is kept.
const NoReason = "no reason is given: take it out, or say why it is kept below its title, " + `"` + KeptBecause + `..."`

// Worth says what each scenario is worth to a challenge: how many catch a defect that no other catches, and which catch
// none, with the reason why they are kept.
func Worth(chosen []*scenarios.Case, answers []Answer) string {
	var b strings.Builder
	idle := Idle(chosen, answers)
	fmt.Fprintf(&b, "\n%d scenarios catch a defect that no other catches. %d catch no defect:\n", len(Only(answers)),
		len(idle))
	for _, sc := range idle {
		reason := Reason(sc, chosen)
		if reason == "" {
			reason = NoReason
		}
		fmt.Fprintf(&b, "  %s:%d %s\n      %s\n", sc.File, sc.Outline, sc.Name, reason)
	}
	return b.String()
}
