package outcome

import (
	"fmt"

	"ullage/harness/signal"
)

// GapAtMost says that an event keeps occurring: from the start of the observation to the first, from each to the next,
// and from the last to the end no more than a span goes by. The margin is the span less the longest gap, in time; the
// allowance is the span.
func GapAtMost(event Event, atMost signal.Time) Property {
	return &property{conditions: []Condition{event.Condition}, edges: true, begin: func(s []subject) (judge, error) {
		if atMost < 0 {
			return nil, fmt.Errorf("outcome: the time allowed between two of %s is %v; want a span that is not negative", event.Signal, atMost)
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
	v := Verdict{Dim: durations, Margin: (j.atMost - j.longest).Seconds(), Allowance: j.atMost.Seconds(), At: j.at, Signal: j.Signal}
	if v.Margin < 0 {
		v.State = Failed
		v.Why = say("%s did not occur for %s, until %v, want it at least every %s", j.turning(), span(j.longest), j.at, span(j.atMost))
	}
	return v
}
