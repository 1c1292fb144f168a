package outcome

import (
	"fmt"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// EventWithin says that after every occurrence of an event during the observation another one occurs within a span, in
// the same moment at the earliest; the deadline itself is in time. The margin is in time: the span less the longest
// delay. A missed deadline is watched on, and the margin says how late the answer came, or by how much it was late when
// the run ended. The allowance is the span.
//
// It is not exercised when the event never occurred, or when the run ended before a deadline that was not met yet.
func EventWithin(event Event, limit signal.Time, target Event) Property {
	return delay(event, limit, target.Condition, false, 0)
}

// SpacedEventWithin is EventWithin for a target that must not come again before a spacing has passed since it last came,
// such as an alert that is not repeated for an hour. An occurrence of the event within that spacing does not count: what
// should follow it was not due. When none counts the outcome is not exercised.
func SpacedEventWithin(event Event, limit signal.Time, target Event, spacing signal.Time) Property {
	return delay(event, limit, target.Condition, false, spacing)
}

// AnyWithin is SpacedEventWithin for whichever of several events comes first. called is the signal that the verdict
// names in their place.
func AnyWithin(event Event, limit signal.Time, targets []Event, spacing signal.Time, called signal.Signal) Property {
	conditions := []Condition{event.Condition}
	for _, t := range targets {
		conditions = append(conditions, t.Condition)
	}
	return &property{conditions: conditions, edges: true, horizon: limit, begin: func(s []subject) (judge, error) {
		as := subject{Condition: Condition{Signal: called.Name(), Is: On}, shape: signal.Event}
		if err := checkLimit(event, limit, as.Condition); err != nil {
			return nil, err
		}
		return &anyWithin{within: within{event: s[0], target: as, limit: limit, spacing: spacing}}, nil
	}}
}

// anyWithin judges it.
type anyWithin struct {
	within
	pair [2]reading
}

func (j *anyWithin) step(since, at signal.Time, r []reading) { j.within.step(since, at, j.joined(r)) }

func (j *anyWithin) before(at signal.Time, r []reading) { j.within.before(at, j.joined(r)) }

// joined are the readings of an event and of several as if they were one.
func (j *anyWithin) joined(r []reading) []reading {
	j.pair = [2]reading{r[0], {}}
	for _, one := range r[1:] {
		j.pair[1].turns += one.turns
	}
	return j.pair[:]
}

// TurnsWithin says that after every occurrence of an event at which a condition does not hold, it comes to hold within
// a span: "the level rises to 300 mm within 5 min". Margin and allowance are those of EventWithin. An occurrence at
// which it holds already does not count, since nothing had to be done, and when none counts the outcome is not
// exercised.
//
// For a condition on a signal of events, the occurrence of one that meets it counts.
func TurnsWithin(event Event, limit signal.Time, c Condition) Property {
	return delay(event, limit, c, true, 0)
}

func delay(event Event, limit signal.Time, c Condition, state bool, spacing signal.Time) Property {
	return &property{conditions: []Condition{event.Condition, c}, edges: true, horizon: limit,
		begin: func(s []subject) (judge, error) {
			if err := checkLimit(event, limit, c); err != nil {
				return nil, err
			}
			return &within{event: s[0], target: s[1], limit: limit, state: state && s[1].shape != signal.Event,
				spacing: spacing}, nil
		}}
}

// checkLimit refuses a deadline before its event.
func checkLimit(event Event, limit signal.Time, c Condition) error {
	if limit < 0 {
		return fmt.Errorf("outcome: %s has %v to follow %s; want a span that is not negative", c.Signal, limit,
			event.Signal)
	}
	return nil
}

// within judges both. Of the occurrences that wait for the condition only the earliest is kept: one moment ends the
// wait of all of them, and the earliest has waited longest.
type within struct {
	event, target subject
	limit         signal.Time
	state         bool // occurrences at which the condition holds already do not count
	spacing       signal.Time
	came          bool
	last          signal.Time // when the target came last, once it came
	waiting       bool
	asked         signal.Time // the occurrence that waits
	worst         answer
	occurred      bool
}

// answer is an occurrence and when the condition followed it.
type answer struct {
	asked, came signal.Time
	found       bool
}

func (a answer) delay() signal.Time { return a.came - a.asked }

// worsen makes b the answer if it took longer.
func (a *answer) worsen(b answer) {
	if !a.found || b.delay() > a.delay() {
		*a = b
	}
}

// before tells of the time before the observation, in which the target may have come last.
func (j *within) before(at signal.Time, r []reading) {
	if r[1].turns > 0 {
		j.came, j.last = true, at
	}
}

func (j *within) step(since, at signal.Time, r []reading) {
	if r[0].turns > 0 {
		j.occurred = true
		already := j.state && r[1].turns == 0 && r[1].here()
		muted := j.came && r[1].turns == 0 && at-j.last < j.spacing
		if !j.waiting && !already && !muted {
			j.waiting, j.asked = true, at
		}
	}
	j.before(at, r)
	if j.waiting && r[1].turns > 0 {
		j.waiting = false
		j.worst.worsen(answer{j.asked, at, true})
	}
}

func (j *within) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: quantity.Duration, Allowance: j.limit.Seconds(), At: end, Signal: j.target.Signal}
	if !j.occurred {
		v.State, v.Signal = NotExercised, j.event.Signal
		v.Why = sentence("%s did not occur from %v to %v", j.event.turning(), start, end)
		return v
	}
	if j.waiting {
		j.worst.worsen(answer{j.asked, end, true})
	}
	if !j.worst.found {
		v.State = NotExercised
		if j.spacing > 0 {
			v.Why = sentence("%s came last at %v, and is not due again for %s: whenever %s came, nothing had to follow",
				j.target.turning(), j.last, span(j.spacing), j.event.turning())
			return v
		}
		v.Why = fmt.Sprintf("%s was %s already whenever %s came: nothing had to be done", j.target.Signal,
			j.target.is(), j.event.turning())
		return v
	}
	overdue := j.waiting && end-j.asked >= j.limit
	v.Margin, v.At = (j.limit - j.worst.delay()).Seconds(), j.worst.came
	deadline := j.worst.asked + j.limit
	after := sentence("%s after the deadline %v", span(j.worst.delay()-j.limit), deadline)
	asked := sentence("within %s after %s at %v", span(j.limit), j.event.turning(), j.worst.asked)
	never := overdue && j.worst.asked == j.asked
	switch {
	case never && !j.state:
		v.State = Failed
		v.Why = fmt.Sprintf("%s had not come when the run ended, %s, want it %s", j.target.turning(), after, asked)
	case never:
		v.State = Failed
		v.Why = fmt.Sprintf("%s was still %s when the run ended, %s, want %s %s",
			j.target.Signal, j.target.isNot(), after, j.target.is(), asked)
	case (overdue || v.Margin < 0) && !j.state:
		v.State = Failed
		v.Why = fmt.Sprintf("%s came %s, want it %s", j.target.turning(), after, asked)
	case overdue || v.Margin < 0:
		v.State = Failed
		v.Why = fmt.Sprintf("%s was still %s until %s, want %s %s", j.target.Signal, j.target.isNot(), after,
			j.target.is(), asked)
	case j.waiting:
		v.State = NotExercised
		v.Why = sentence("the run ended at %v, before the deadline %v for %s had passed", end, j.asked+j.limit,
			j.wanted())
	}
	return v
}

// wanted names what has to follow.
func (j *within) wanted() string {
	if j.state {
		return j.target.Signal + " " + j.target.is()
	}
	return j.target.turning()
}
