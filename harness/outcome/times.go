package outcome

import (
	"fmt"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// AtMostTimes says that an event occurs at most n times during the observation. The margin is n less the count; the
// allowance is n.
func AtMostTimes(n int, event Event) Property { return times(n, event, AtMost) }

// AtLeastTimes says that an event occurs at least n times during the observation. The margin is the count less n; the
// allowance is n.
func AtLeastTimes(n int, event Event) Property { return times(n, event, AtLeast) }

// None says that an event does not occur during the observation. The margin is minus the count; there is no allowance.
func None(event Event) Property { return AtMostTimes(0, event) }

func times(n int, event Event, is Comparison) Property {
	return &property{conditions: []Condition{event.Condition}, edges: true, begin: func(s []subject) (judge, error) {
		if n < 0 {
			return nil, fmt.Errorf("outcome: %s is to occur %d times; want a number that is not negative", event.Signal, n)
		}
		return &count{subject: s[0], want: Condition{Is: is, Limit: float64(n)}}, nil
	}}
}

// count judges the number of occurrences.
type count struct {
	subject
	want Condition
	n    int
	at   signal.Time // of the last occurrence
}

func (j *count) step(since, at signal.Time, r []reading) {
	if r[0].turns > 0 {
		j.n, j.at = j.n+r[0].turns, at
	}
}

func (j *count) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: quantity.Count, Margin: j.want.robustness(float64(j.n)), Allowance: j.want.Limit, At: end, Signal: j.Signal}
	if j.n > 0 {
		v.At = j.at
	}
	if v.Margin < 0 {
		v.State = Failed
		bound := [...]string{AtLeast: "at least", AtMost: "at most"}[j.want.Is]
		v.Why = say("%s occurred %s from %v to %v, want %s %d", j.turning(), often(j.n), start, end, bound, int(j.want.Limit))
	}
	return v
}

// often puts a number of times into words.
func often(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
