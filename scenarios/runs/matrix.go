package runs

import (
	"fmt"
	"slices"
	"strings"

	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// Matrix prints the answers of a challenge: a row a contender, a column a hazard with how many outcomes of its
// scenarios did not hold (in brackets where the hazard is not one of the defect's own), then what caught a defect
// first, then what went wrong with the suite.
func Matrix(answers []Answer) string {
	var b strings.Builder
	hazards := complained(answers)
	name := len("sound variant")
	for _, a := range answers {
		name = max(name, len(a.Name))
	}
	for _, sound := range []bool{false, true} {
		rows := slices.DeleteFunc(slices.Clone(answers), func(a Answer) bool { return (len(a.Hazards) == 0) != sound })
		if len(rows) == 0 {
			continue
		}
		head, last := "defect", "caught first by"
		if sound {
			head, last = "sound variant", "complained about by"
		}
		fmt.Fprintf(&b, "%-*s", name, head)
		for _, h := range hazards {
			fmt.Fprintf(&b, "  %s", h)
		}
		fmt.Fprintf(&b, "  %s\n", last)
		for _, a := range rows {
			fmt.Fprintf(&b, "%-*s", name, a.Name)
			for _, h := range hazards {
				fmt.Fprintf(&b, "  %*s", len(h), a.cell(h))
			}
			fmt.Fprintf(&b, "  %s\n", a.first())
		}
		b.WriteByte('\n')
	}
	b.WriteString(remarks(answers))
	return b.String()
}

// complained are the hazards that any contender has a complaint under, and those of the defects.
func complained(answers []Answer) []string {
	var list []string
	for _, h := range fault.Hazards() {
		if slices.ContainsFunc(answers, func(a Answer) bool {
			return slices.Contains(a.Hazards, h) ||
				a.under(string(h)) > 0
		}) {
			list = append(list, string(h))
		}
	}
	return list
}

// under counts the complaints of scenarios about a hazard.
func (a Answer) under(hazard string) int {
	n := 0
	for _, c := range slices.Concat(a.Spoilt, a.Caught, a.Other) {
		if slices.Contains(c.Scenario.Tags, HazardTag(fault.Hazard(hazard))) {
			n++
		}
	}
	return n
}

func (a Answer) cell(hazard string) string {
	n := a.under(hazard)
	switch {
	case n == 0 && slices.Contains(a.Hazards, fault.Hazard(hazard)):
		return "0"
	case n == 0:
		return ""
	case slices.Contains(a.Hazards, fault.Hazard(hazard)) || len(a.Hazards) == 0:
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("(%d)", n)
}

// first is the complaint that shows best what the suite thinks: of a defect one that caught it.
func (a Answer) first() string {
	for _, c := range slices.Concat(a.Caught, a.Spoilt, a.Other) {
		return fmt.Sprintf("%s:%d %s, %s", c.Scenario.File, c.Scenario.Line, c.Outcome,
			quantity.Format(c.Verdict.Margin, c.Verdict.Dim))
	}
	return "-"
}

// remarks are the totals, and a paragraph for each contender of whom the suite did not say what it should.
func remarks(answers []Answer) string {
	var b strings.Builder
	defects, caught, sound, alarms := 0, 0, 0, 0
	for _, a := range answers {
		switch {
		case len(a.Hazards) > 0:
			defects++
			if a.OK() {
				caught++
			}
		default:
			sound++
			if !a.OK() {
				alarms++
			}
		}
	}
	fmt.Fprintf(&b, "%d of %d defects caught. %d of %d sound variants complained about.\n", caught, defects, alarms,
		sound)
	for _, a := range answers {
		switch {
		case a.OK():
		case len(a.Hazards) == 0:
			fmt.Fprintf(&b, "\nFalse alarm: %s (%s)\n", a.Name, a.What)
		case len(a.Spoilt) > 0:
			fmt.Fprintf(&b, "\nNot hidden: %s (%s) spoils good days\n", a.Name, a.What)
		default:
			fmt.Fprintf(&b, "\nNot caught: %s (%s)\n", a.Name, a.What)
		}
		if !a.OK() {
			for _, c := range slices.Concat(a.Spoilt, a.Other) {
				fmt.Fprintf(&b, "  %s:%d %s\n      %v: %s\n", c.Scenario.File, c.Scenario.Line, c.Outcome,
					c.Verdict.State, c.Verdict.Why)
			}
		}
	}
	return b.String()
}
