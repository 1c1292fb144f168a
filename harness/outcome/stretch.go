package outcome

import (
	"fmt"
	"math"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// LongestStretch says that a condition never holds for longer than a span at a stretch. A stretch that began before the
// observation counts from its start, one that is not over at its end counts as long as it was seen. The margin is the
// span less the longest stretch, in time; the allowance is the span.
func LongestStretch(c Condition, atMost signal.Time) Property {
	return lasting(c, atMost, func(s stretches) judge { return &longest{s, atMost} })
}

// TotalAtMost says that a condition holds for no longer than a span in all. The margin is the span less the time during
// which the condition held; the allowance is the span.
func TotalAtMost(c Condition, atMost signal.Time) Property {
	return lasting(c, atMost, func(s stretches) judge { return &total{s, atMost} })
}

func lasting(c Condition, atMost signal.Time, with func(stretches) judge) Property {
	return &property{conditions: []Condition{c}, edges: true, begin: func(s []subject) (judge, error) {
		if atMost < 0 {
			return nil, fmt.Errorf("outcome: the time allowed to %s is %v; want a span that is not negative", c.Signal,
				atMost)
		}
		if s[0].shape == signal.Event {
			return nil, fmt.Errorf("outcome: %s exists only at its events and lasts no time; count it instead",
				c.Signal)
		}
		return with(stretches{subject: s[0]}), nil
	}}
}

// stretches measures for how long a condition holds.
type stretches struct {
	subject
	held    bool        // the condition held at some moment
	first   signal.Time // the first such moment
	began   signal.Time // of the present stretch
	going   bool
	longest signal.Time
	at      signal.Time // the end of the longest stretch
	total   signal.Time
}

func (s *stretches) step(since, at signal.Time, r []reading) {
	s.follow(since, at, r[0].along(), r[0].here())
}

// follow extends or ends the present stretch: along tells of the span since the moment before, here of the moment.
func (s *stretches) follow(since, at signal.Time, along, here bool) {
	switch {
	case since == at:
	case !along:
		s.going = false
	default:
		if !s.going {
			s.began, s.going = since, true
		}
		s.mark(since)
		s.total += at - since
		if at-s.began > s.longest {
			s.longest, s.at = at-s.began, at
		}
	}
	if here {
		s.mark(at)
	}
}

func (s *stretches) mark(at signal.Time) {
	if !s.held {
		s.held, s.first, s.at = true, at, at
	}
}

// never judges Never of an on/off condition.
type never struct{ stretches }

func (j *never) verdict(start, end signal.Time) Verdict {
	if !j.held {
		return Verdict{Dim: quantity.Duration, Margin: math.Inf(1), At: end, Signal: j.Signal}
	}
	return Verdict{State: Failed, Dim: quantity.Duration, Margin: (-j.longest).Seconds(),
		Allowance: (end - start).Seconds(),
		At:        j.at, Signal: j.Signal, Why: sentence("%s was %s from %v on, for %s at the longest, want never %s",
			j.Signal, j.is(), j.first, span(j.longest), j.is())}
}

// longest judges LongestStretch.
type longest struct {
	stretches
	atMost signal.Time
}

func (j *longest) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: quantity.Duration, Margin: (j.atMost - j.longest).Seconds(), Allowance: j.atMost.Seconds(),
		At: j.at, Signal: j.Signal}
	if !j.held {
		v.At = end
	}
	if v.Margin < 0 {
		v.State = Failed
		v.Why = sentence("%s was %s for %s at a stretch, until %v, want %s at the longest",
			j.Signal, j.is(), span(j.longest), j.at, span(j.atMost))
	}
	return v
}

// total judges TotalAtMost.
type total struct {
	stretches
	atMost signal.Time
}

func (j *total) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: quantity.Duration, Margin: (j.atMost - j.total).Seconds(), Allowance: j.atMost.Seconds(), At: end,
		Signal: j.Signal}
	if v.Margin < 0 {
		v.State = Failed
		v.Why = sentence("%s was %s for %s in all from %v to %v, want at most %s",
			j.Signal, j.is(), span(j.stretches.total), start, end, span(j.atMost))
	}
	return v
}
