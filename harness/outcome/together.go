package outcome

import (
	"fmt"
	"math"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// NeverTogether says that two conditions never hold at once, both ends of the observation included. The margin is in
// time. As long as the conditions keep apart it is the smallest gap between a stretch of the one and a stretch of the
// other: moving one edge, or one whole signal, by less leaves them apart. There is none when one of them never held. When
// they met, it is minus the longest stretch during which both held: one of the two edges that bound it has to be moved
// that far to part them there. The allowance is the length of the observation.
//
// A linear signal that touches its limit for no time does not meet anything.
func NeverTogether(a, b Condition) Property {
	return &property{conditions: []Condition{a, b}, edges: true, begin: func(s []subject) (judge, error) {
		for _, one := range s {
			if one.shape == signal.Event {
				return nil, fmt.Errorf(
					"outcome: %s exists only at its events and lasts no time; want a signal with a value at all times",
					one.Signal,
				)
			}
		}
		return &together{of: [2]subject{s[0], s[1]}, gap: extreme{value: math.Inf(1)},
			both: stretches{subject: s[0]}}, nil
	}}
}

// together judges NeverTogether.
type together struct {
	of   [2]subject
	both stretches
	held [2]bool        // the condition held at some moment
	last [2]signal.Time // the last moment at which it did
	gap  extreme        // in nanoseconds
}

func (j *together) step(since, at signal.Time, r []reading) {
	j.both.follow(since, at, r[0].along() && r[1].along(), j.here(r, 0) && j.here(r, 1))
	for i := range r {
		if since < at && r[i].along() {
			j.saw(i, since)
			j.saw(i, at)
		}
	}
	for i := range r {
		if j.here(r, i) {
			j.saw(i, at)
		}
	}
}

// here reports whether a condition holds from this moment on. Of a linear signal the span that follows will tell.
func (j *together) here(r []reading, i int) bool {
	return r[i].last >= 0 && !(j.of[i].shape == signal.Linear && j.of[i].numeric())
}

// saw notes a moment that belongs to, or bounds, a stretch of one condition, and measures the gap to the other's last.
func (j *together) saw(i int, at signal.Time) {
	if other := 1 - i; j.held[other] {
		j.gap.offer(at, float64(at-j.last[other]))
	}
	j.held[i], j.last[i] = true, at
}

func (j *together) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: quantity.Duration, Margin: math.Inf(1), At: end, Signal: j.of[0].Signal}
	if j.gap.found {
		v.Margin, v.At, v.Allowance = j.gap.value/1e9, j.gap.at, (end - start).Seconds()
	}
	if j.both.held {
		v.State, v.Margin, v.At = Failed, (-j.both.longest).Seconds(), j.both.at
		v.Why = sentence("%s was %s while %s was %s from %v on, for %s at the longest, want never both",
			j.of[0].Signal, j.of[0].is(), j.of[1].Signal, j.of[1].is(), j.both.first, span(j.both.longest))
	}
	return v
}
