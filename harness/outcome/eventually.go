package outcome

import (
	"math"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

const durations = quantity.Duration

// Eventually says that a condition holds at some moment of the observation, both ends included.
//
// For AtLeast and AtMost the margin is the greatest robustness, in the dimension of the signal, and the allowance is the
// limit's magnitude. For On and Off the margin is in time: the end of the observation less the first moment at which the
// condition held, by how much it could have come later; it is nought, and failed, when it never held. The allowance is
// then the length of the observation.
func Eventually(c Condition) Property {
	return &property{conditions: []Condition{c}, begin: func(s []subject) (judge, error) {
		if c.numeric() {
			return &eventually{s[0], throughout()}, nil
		}
		return &first{subject: s[0]}, nil
	}}
}

// eventually judges a numeric condition: the greatest robustness is minus the smallest of its negative.
type eventually struct {
	subject
	least fold
}

func (j *eventually) step(since, at signal.Time, r []reading) {
	j.least.take(since, r[0].piece(at).negative())
}

func (j *eventually) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: j.dim, Signal: j.Signal, Allowance: math.Abs(j.Limit)}
	if !j.least.found { // a signal of events without any
		v.State, v.Margin, v.At = Failed, math.Inf(-1), end
		v.Why = say("%s did not occur from %v to %v, want %s", j.Signal, start, end, j.is())
		return v
	}
	v.Margin, v.At = -j.least.value, j.least.at
	if v.Margin < 0 {
		v.State = Failed
		v.Why = say("%s came no nearer than %s, at %v, want %s by %v", j.Signal, j.format(j.value(v.Margin)), v.At, j.is(), end)
	}
	return v
}

// first judges an on/off condition.
type first struct {
	subject
	held bool
	at   signal.Time
}

func (j *first) step(since, at signal.Time, r []reading) {
	if !j.held && r[0].here() {
		j.held, j.at = true, at
	}
}

func (j *first) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: durations, Signal: j.Signal, Allowance: (end - start).Seconds()}
	if !j.held {
		v.State, v.At = Failed, end
		v.Why = say("%s was still %s at the end, %v, want %s", j.Signal, j.isNot(), end, j.is())
		return v
	}
	v.Margin, v.At = (end - j.at).Seconds(), j.at
	return v
}
