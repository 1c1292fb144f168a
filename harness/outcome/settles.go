package outcome

import (
	"fmt"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// SettlesWithin says that after every occurrence of an event a condition that did not hold, or that ceased to hold
// before the deadline, holds for good from a moment within the span on: "the valve closes within 5 s". It must hold at
// the deadline, which itself is in time; what happens after it is no longer looked at. The margin is in time: the span
// less the time until the stretch began that was on at the deadline, the smallest over all occurrences; a missed
// deadline is watched on as with EventWithin. The allowance is the span.
//
// A condition that held when the event came and does so up to the deadline says nothing, since
// nothing had to be done: such an occurrence does not count, and when none counts the outcome is not exercised. One
// that turns true at the very moment of the event took no time.
func SettlesWithin(event Event, limit signal.Time, c Condition) Property {
	return &property{conditions: []Condition{event.Condition, c}, edges: true, horizon: limit,
		begin: func(s []subject) (judge, error) {
			if err := checkLimit(event, limit, c); err != nil {
				return nil, err
			}
			if s[1].shape == signal.Event {
				return nil, fmt.Errorf(
					"outcome: %s exists only at its events and cannot settle; want a signal with a value at all times",
					c.Signal,
				)
			}
			return &settles{event: s[0], target: s[1], limit: limit}, nil
		}}
}

// settles judges SettlesWithin. It keeps the occurrences whose deadline is not over, and the earliest that missed it:
// when the condition holds again, that one is the latest.
type settles struct {
	event, target subject
	limit         signal.Time
	visits        []visit
	late          bool
	missed        signal.Time // the earliest occurrence whose deadline was missed, while late
	stretch       signal.Time // since when the condition holds, while it does
	worst         answer
	occurred      bool
}

// visit is an occurrence that waits for its deadline.
type visit struct {
	asked signal.Time
	moved bool // the condition did not hold at some moment since
}

func (j *settles) step(since, at signal.Time, r []reading) {
	along, here, turns := since < at && r[1].along(), r[1].here(), r[1].turns > 0
	if turns {
		j.stretch = at
	}
	if j.late && turns {
		j.late = false
		j.worst.worsen(answer{j.missed, at, true})
	}
	kept := j.visits[:0]
	for _, v := range j.visits {
		deadline := v.asked + j.limit
		v.moved = v.moved || since < at && !along && deadline >= since
		holds := here
		if deadline < at {
			holds = along
		}
		switch {
		case deadline > at:
			v.moved = v.moved || !here
			kept = append(kept, v)
		case holds && v.moved:
			j.worst.worsen(answer{v.asked, j.stretch, true})
		case holds:
		case turns: // missed, and made up for at this moment
			j.worst.worsen(answer{v.asked, at, true})
		default:
			j.miss(v.asked)
		}
	}
	j.visits = kept
	if r[0].turns > 0 {
		j.occur(at, here, turns)
	}
}

// occur takes an occurrence of the event. What the condition does at that moment is in answer to it.
func (j *settles) occur(at signal.Time, here, turns bool) {
	j.occurred = true
	switch {
	case j.limit > 0:
		j.visits = append(j.visits, visit{asked: at, moved: !here || turns})
	case !here:
		j.miss(at)
	case turns:
		j.worst.worsen(answer{at, at, true})
	}
}

func (j *settles) miss(asked signal.Time) {
	if !j.late {
		j.late, j.missed = true, asked
	}
}

func (j *settles) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: quantity.Duration, Allowance: j.limit.Seconds(), At: end, Signal: j.target.Signal}
	if !j.occurred {
		v.State, v.Signal = NotExercised, j.event.Signal
		v.Why = sentence("%s did not occur from %v to %v", j.event.turning(), start, end)
		return v
	}
	if j.late {
		j.worst.worsen(answer{j.missed, end, true})
	}
	if j.worst.found {
		v.Margin, v.At = (j.limit - j.worst.delay()).Seconds(), j.worst.came
	}
	asked := sentence("want %s within %s after %s at %v", j.target.is(), span(j.limit), j.event.turning(),
		j.worst.asked)
	after := sentence("%s after the deadline %v", span(j.worst.delay()-j.limit), j.worst.asked+j.limit)
	switch {
	case j.late:
		v.State = Failed
		v.Why = fmt.Sprintf("%s was still %s when the run ended, %s, %s", j.target.Signal, j.target.isNot(), after,
			asked)
	case v.Margin < 0:
		v.State = Failed
		v.Why = fmt.Sprintf("%s was still %s until %s, %s", j.target.Signal, j.target.isNot(), after, asked)
	case len(j.visits) > 0:
		v.State = NotExercised
		v.Why = sentence("the run ended at %v, before the deadline for %s %s had passed", end, j.target.Signal,
			j.target.is())
	case !j.worst.found:
		v.State = NotExercised
		v.Why = fmt.Sprintf("%s was %s all along from %s to the deadline: nothing had to be done", j.target.Signal,
			j.target.is(), j.event.turning())
	}
	return v
}
