package scenarios

import (
	"context"
	"math"
	"slices"
	"strings"
	"sync"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
)

// Contender is a controller that the suite is tried on: one with a defect, which the suite must notice, or a sound one,
// about which it must not complain.
type Contender struct {
	Name    string
	What    string         // the mistake, or what is otherwise about a sound one
	Hazards []fault.Hazard // that the defect lets happen; none: it is sound
	Build   harness.Builder
}

// Complaint is an outcome that did not hold for a contender.
type Complaint struct {
	Scenario *Case
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

// OK tells whether the suite said of the contender what it should: of a defect that an outcome of its own hazard failed
// while good days held, of a sound controller nothing.
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

// Challenge runs the selected scenarios on every contender, several at once, and calls onAnswer for each that is through,
// one call at a time. A defect meets what decides about it, good days and the scenarios of its own hazards, or, when whole
// is set, all of them; a sound controller always meets all. Twins and corners are left out: what is asked is whether an outcome is lost. The answers come in the
// order of the contenders. An error means that the challenge could not be made.
func Challenge(ctx context.Context, o Options, contenders []Contender, whole bool, onAnswer func(Answer)) ([]Answer, error) {
	chosen, err := o.Library.Select(o.Select)
	if err != nil {
		return nil, err
	}
	if problems := stepProblems(chosen); len(problems) > 0 {
		return nil, problems
	}
	scripts := make([]*harness.Script, len(chosen))
	for i, c := range chosen {
		scripts[i] = c.Script(o.Seed)
	}
	answers, broken := make([]Answer, len(contenders)), make([]error, len(contenders))
	var wait sync.WaitGroup
	var mu sync.Mutex // guards onAnswer
	next := make(chan int)
	for range max(1, o.Concurrency) {
		wait.Go(func() {
			for i := range next {
				answers[i], broken[i] = challenge(ctx, contenders[i], chosen, scripts, whole)
				mu.Lock()
				if onAnswer != nil {
					onAnswer(answers[i])
				}
				mu.Unlock()
			}
		})
	}
	for i := range contenders {
		next <- i
	}
	close(next)
	wait.Wait()
	for _, err := range broken {
		if err != nil {
			return nil, err
		}
	}
	return answers, nil
}

// challenge tries one contender.
func challenge(ctx context.Context, c Contender, chosen []*Case, scripts []*harness.Script, whole bool) (Answer, error) {
	a := Answer{Contender: c}
	for i, sc := range chosen {
		own := slices.ContainsFunc(c.Hazards, func(h fault.Hazard) bool { return slices.Contains(sc.Tags, HazardTag(h)) })
		if len(c.Hazards) > 0 && !whole && !own && !slices.Contains(sc.Tags, goodDay) {
			continue
		}
		run, err := harness.RunOnce(ctx, c.Build, scripts[i])
		if err != nil && ctx.Err() != nil {
			return a, ctx.Err()
		}
		if err != nil { // what the scenario waits for does not happen with this controller
			a.Other = append(a.Other, Complaint{sc, "the whole of it", outcome.Verdict{State: outcome.Broken, Why: err.Error()}})
			continue
		}
		for n, v := range run.Verdicts {
			if v.State == outcome.Held {
				continue
			}
			complaint := Complaint{sc, scripts[i].Outcomes[n].Text, v}
			switch {
			case slices.Contains(sc.Tags, goodDay):
				a.Spoilt = append(a.Spoilt, complaint)
			case own && v.State == outcome.Failed && v.Margin < 0 && !math.IsInf(v.Margin, 0):
				a.Caught = append(a.Caught, complaint)
			default:
				a.Other = append(a.Other, complaint)
			}
		}
	}
	return a, nil
}
