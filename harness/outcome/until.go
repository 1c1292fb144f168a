package outcome

import (
	"fmt"
	"math"

	"ullage/harness/signal"
)

// Until says that b comes, and that a holds until then: there is a moment of the observation at which b holds, and at
// every moment from the start up to, not including, it a holds. If b holds at the start, a is not asked.
//
// When both conditions are numeric and of one dimension, the margin is in it: over all moments t the greatest of
// min(robustness of b at t, smallest robustness of a before t). The allowance is the limit of the condition that decides.
//
// Otherwise the margin is in time, since margins of different dimension are not folded: from the first moment of b to the
// first at which a does not hold, or to the end: b could have come later, or a ended earlier, by so much. It is negative
// when a ended before b came, and nought, and failed, when a lasted but b never came. The allowance is the length of the
// observation.
func Until(a, b Condition) Property {
	return &property{conditions: []Condition{a, b}, edges: true, begin: func(s []subject) (judge, error) {
		if s[0].shape == signal.Event {
			return nil, fmt.Errorf("outcome: %s exists only at its events; want a signal with a value at all times to hold until %s", a.Signal, b.Signal)
		}
		if a.numeric() && b.numeric() && s[0].dim == s[1].dim && s[1].shape != signal.Event {
			return newUntil(s[0], s[1]), nil
		}
		return &relay{a: s[0], b: s[1]}, nil
	}}
}

// until judges two numeric conditions of one dimension.
type until struct {
	of [2]subject
	guarded
}

func newUntil(a, b subject) *until {
	return &until{[2]subject{a, b}, newGuarded(0, signal.Never, false)}
}

func (j *until) step(since, at signal.Time, r []reading) {
	j.take(since, r[0].piece(at), r[1].piece(at))
}

func (j *until) verdict(start, end signal.Time) Verdict {
	s := j.of[j.best.of]
	v := Verdict{Dim: s.dim, Margin: j.best.value, At: j.best.at, Signal: s.Signal, Allowance: math.Abs(s.Limit)}
	if v.Margin < 0 {
		v.State = Failed
		v.Why = say("%s was %s at %v, want %s %s until %s %s", s.Signal, s.format(s.value(v.Margin)), v.At,
			j.of[0].Signal, j.of[0].is(), j.of[1].Signal, j.of[1].is())
	}
	return v
}

// relay judges any other pair in time.
type relay struct {
	a, b        subject
	came, ended bool
	cameAt      signal.Time // first moment of b
	endedAt     signal.Time // first moment at which a did not hold
}

func (j *relay) step(since, at signal.Time, r []reading) {
	if since < at && !j.ended && !r[0].along() {
		j.ended, j.endedAt = true, since
	}
	if !j.came && r[1].here() {
		j.came, j.cameAt = true, at
	}
	if !j.ended && !(r[0].low >= 0) {
		j.ended, j.endedAt = true, at
	}
}

func (j *relay) verdict(start, end signal.Time) Verdict {
	came, ended := end, end
	if j.came {
		came = j.cameAt
	}
	if j.ended {
		ended = j.endedAt
	}
	v := Verdict{Dim: durations, Margin: (ended - came).Seconds(), Allowance: (end - start).Seconds(), At: ended, Signal: j.a.Signal}
	switch {
	case ended < came && j.came:
		v.State = Failed
		v.Why = say("%s was %s from %v on, %s before %s was %s at %v, want %s until then",
			j.a.Signal, j.a.isNot(), ended, span(came-ended), j.b.Signal, j.b.is(), came, j.a.is())
	case !j.came:
		v.State, v.Signal = Failed, j.b.Signal
		v.Why = say("%s was still %s at the end, %v, want %s after %s was %s until then",
			j.b.Signal, j.b.isNot(), end, j.b.is(), j.a.Signal, j.a.is())
	}
	return v
}
