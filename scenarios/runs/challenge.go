package runs

import (
	"context"
	"slices"
	"strings"
	"sync"

	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/scenarios"
)

// Contender is a controller that the suite is tried on: one with a defect, which the suite must notice, or a sound one,
// about which it must not complain.
type Contender struct {
	Name    string
	What    string         // the mistake, or what is otherwise about a sound one
	Hazards []fault.Hazard // that the defect lets happen; none: it is sound
	Stand   Stand
}

// Complaint is an outcome that did not hold for a contender.
type Complaint struct {
	Scenario *scenarios.Case
	Outcome  string // its text
	Verdict  outcome.Verdict
}

// Answer is what the suite said of a contender.
type Answer struct {
	Contender
	Spoilt []Complaint // good days that did not hold: the defect is no hidden one
	Caught []Complaint // outcomes of the defect's own hazards that failed by their margin
	Other  []Complaint // whatever else did not hold
}

// OK reports whether the suite said of the contender what it should: of a defect that an outcome of its own hazard
// failed while good days held, of a sound controller nothing.
func (a Answer) OK() bool {
	if len(a.Hazards) == 0 {
		return len(a.Spoilt)+len(a.Caught)+len(a.Other) == 0
	}
	return len(a.Spoilt) == 0 && len(a.Caught) > 0
}

// goodDay is the tag of scenarios in which nothing goes wrong.
const goodDay = "@good-day"

// siteAlone is the tag of scenarios about what the site alone carries away, whatever the controller does.
const siteAlone = "@site-alone"

// HazardTag is the tag of the scenarios about a hazard.
func HazardTag(h fault.Hazard) string { return "@hazard-" + strings.ReplaceAll(string(h), " ", "-") }

// Challenge runs the selected scenarios on every contender, several at once, and calls onAnswer for each that is
// through, one call at a time. A defect meets what decides about it, good days and the scenarios of its own hazards,
// or, when whole is set, all of them; a sound controller always meets all. Twins and the limits of tolerances are left
// out: what is asked is whether an outcome fails. The answers come in the order of the contenders. An error means that
// the challenge could not be made.
func Challenge(ctx context.Context, o Options, contenders []Contender, whole bool, onAnswer func(Answer)) ([]Answer,
	error) {
	chosen, err := o.Library.Select(o.Select)
	if err != nil {
		return nil, err
	}
	for _, c := range chosen {
		if len(c.Problems) > 0 {
			return nil, c.Problems
		}
	}
	answers := make([]Answer, len(contenders))
	var mu sync.Mutex // guards onAnswer
	err = Each(ctx, len(contenders), o.Concurrency, func(ctx context.Context, i int) (err error) {
		if answers[i], err = o.challenge(ctx, contenders[i], chosen, whole); err != nil || onAnswer == nil {
			return err
		}
		mu.Lock()
		defer mu.Unlock()
		onAnswer(answers[i])
		return nil
	})
	return answers, err
}

// challenge tries one contender.
func (o Options) challenge(ctx context.Context, contender Contender, chosen []*scenarios.Case, whole bool) (Answer,
	error) {
	a := Answer{Contender: contender}
	settings := o.Settings
	settings.Stand, settings.Proof = contender.Stand, Unproven
	for _, c := range chosen {
		own := slices.ContainsFunc(contender.Hazards,
			func(h fault.Hazard) bool { return slices.Contains(c.Tags, HazardTag(h)) })
		if len(contender.Hazards) > 0 && !whole && !own && !slices.Contains(c.Tags, goodDay) {
			continue
		}
		r := o.Runner.Run(ctx, New(c, o.Library, settings))
		if ctx.Err() != nil {
			return a, context.Cause(ctx)
		}
		if r.Err != nil { // what the scenario waits for does not happen with this controller
			a.Other = append(a.Other, Complaint{c, "the whole of it",
				outcome.Verdict{State: outcome.Broken, Why: r.Err.Error()}})
			continue
		}
		for n, v := range r.Verdicts {
			if v.State == outcome.Held {
				continue
			}
			complaint := Complaint{c, r.Script.Outcomes[n].Text, v}
			switch {
			case slices.Contains(c.Tags, goodDay):
				a.Spoilt = append(a.Spoilt, complaint)
			case own && v.State == outcome.Failed && v.Margin < 0:
				a.Caught = append(a.Caught, complaint)
			default:
				a.Other = append(a.Other, complaint)
			}
		}
	}
	return a, nil
}
