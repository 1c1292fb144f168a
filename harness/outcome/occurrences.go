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

// BetweenTimes says that an event occurs at least and at most so many times during the observation. The margin is the
// smaller of the two distances from the count; the allowance is half of what lies between the bounds, and there is none
// when they are the same.
func BetweenTimes(least, most int, event Event) Property {
	return &property{conditions: []Condition{event.Condition}, edges: true, begin: func(s []subject) (judge, error) {
		if least < 0 || most < least {
			return nil, fmt.Errorf("outcome: %s is to occur %d to %d times; want two numbers that rise from 0 on",
				event.Signal, least, most)
		}
		return &between{count: count{subject: s[0]}, least: least, most: most}, nil
	}}
}

// None says that an event does not occur during the observation. The margin is minus the count; there is no allowance.
func None(event Event) Property { return AtMostTimes(0, event) }

func times(n int, event Event, is Comparison) Property {
	return &property{conditions: []Condition{event.Condition}, edges: true, begin: func(s []subject) (judge, error) {
		if n < 0 {
			return nil, fmt.Errorf("outcome: %s is to occur %d times; want a number that is not negative", event.Signal,
				n)
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
	v := Verdict{Dim: quantity.Count, Margin: j.want.robustness(float64(j.n)), Allowance: j.want.Limit, At: end,
		Signal: j.Signal}
	if j.n > 0 {
		v.At = j.at
	}
	if v.Margin < 0 {
		v.State = Failed
		bound := [...]string{AtLeast: "at least", AtMost: "at most"}[j.want.Is]
		v.Why = sentence("%s occurred %s from %v to %v, want %s %d", j.turning(), often(j.n), start, end, bound,
			int(j.want.Limit))
	}
	return v
}

// between judges BetweenTimes.
type between struct {
	count
	least, most int
}

func (j *between) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: quantity.Count, Margin: float64(min(j.n-j.least, j.most-j.n)),
		Allowance: float64(j.most-j.least) / 2, At: end, Signal: j.Signal}
	if j.n > 0 {
		v.At = j.at
	}
	if v.Margin < 0 {
		v.State = Failed
		want := sentence("%d to %d times", j.least, j.most)
		if j.least == j.most {
			want = often(j.most)
		}
		v.Why = sentence("%s occurred %s from %v to %v, want %s", j.turning(), often(j.n), start, end, want)
	}
	return v
}

// often puts a number of times into words.
func often(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// GapAtMost says that an event keeps occurring: from the start of the observation to the first, from each to the next,
// and from the last to the end no more than a span goes by. The margin is the span less the longest gap, in time; the
// allowance is the span.
func GapAtMost(event Event, atMost signal.Time) Property {
	return &property{conditions: []Condition{event.Condition}, edges: true, begin: func(s []subject) (judge, error) {
		if atMost < 0 {
			return nil, fmt.Errorf(
				"outcome: the time allowed between two of %s is %v; want a span that is not negative",
				event.Signal,
				atMost,
			)
		}
		return &gap{subject: s[0], atMost: atMost, last: signal.Never}, nil
	}}
}

// gap judges it.
type gap struct {
	subject
	atMost  signal.Time
	last    signal.Time // the last occurrence, or the start
	longest signal.Time
	at      signal.Time // the end of the longest gap
}

func (j *gap) step(_, at signal.Time, r []reading) {
	if j.last == signal.Never {
		j.last, j.at = at, at
	}
	if r[0].turns > 0 {
		j.note(at)
	}
}

func (j *gap) note(at signal.Time) {
	if at-j.last > j.longest {
		j.longest, j.at = at-j.last, at
	}
	j.last = at
}

func (j *gap) verdict(start, end signal.Time) Verdict {
	j.note(end)
	v := Verdict{Dim: quantity.Duration, Margin: (j.atMost - j.longest).Seconds(), Allowance: j.atMost.Seconds(),
		At: j.at, Signal: j.Signal}
	if v.Margin < 0 {
		v.State = Failed
		v.Why = sentence("%s did not occur for %s, until %v, want it at least every %s", j.turning(), span(j.longest),
			j.at, span(j.atMost))
	}
	return v
}
