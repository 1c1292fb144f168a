package outcome

import (
	"fmt"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// ShortestStretch says that a condition, whenever it comes to hold, holds for a span at the least. The margin is the
// shortest stretch less the span, in time; the allowance is the span. How long a stretch lasts that is cut by an end of
// the observation is not known: it counts as long as it was seen if that is long enough, and else does not count. When
// none counts the outcome is not exercised.
func ShortestStretch(c Condition, atLeast signal.Time) Property { return shortestOf(c, atLeast, false) }

// ShortestPause says that from the end of a stretch during which a condition holds to the beginning of the next a span
// goes by at the least. The time before the first stretch is no pause; that after the last counts as one that is cut.
// Margin, allowance and what is not exercised are those of ShortestStretch.
func ShortestPause(c Condition, atLeast signal.Time) Property { return shortestOf(c, atLeast, true) }

func shortestOf(c Condition, atLeast signal.Time, pauses bool) Property {
	return lasting(c, atLeast, func(s stretches) judge {
		return &shortest{subject: s.subject, atLeast: atLeast, pauses: pauses, began: signal.Never}
	})
}

// shortest judges both.
type shortest struct {
	subject
	atLeast signal.Time
	pauses  bool
	start   signal.Time
	begun   bool
	began   signal.Time // of the present stretch or pause; Never while there is none
	found   bool
	least   signal.Time
	at      signal.Time // the end of the shortest
}

func (j *shortest) step(since, at signal.Time, r []reading) {
	if !j.begun {
		j.begun, j.start = true, since
	}
	if since == at {
		return
	}
	switch is := r[0].along() != j.pauses; {
	case is && j.began == signal.Never:
		j.began = since
	case !is && j.began != signal.Never:
		j.over(since, j.began == j.start)
		j.began = signal.Never
	}
}

// over takes a stretch that ends; cut, when it is not known how long it lasts.
func (j *shortest) over(at signal.Time, cut bool) {
	long := at - j.began
	if cut && long < j.atLeast || j.pauses && j.began == j.start {
		return
	}
	if !j.found || long < j.least {
		j.found, j.least, j.at = true, long, at
	}
}

func (j *shortest) verdict(start, end signal.Time) Verdict {
	if j.began != signal.Never {
		j.over(end, true)
	}
	v := Verdict{Dim: quantity.Duration, Allowance: j.atLeast.Seconds(), At: end, Signal: j.Signal}
	is, what := j.is(), "stretch"
	if j.pauses {
		is, what = j.isNot(), "pause"
	}
	if !j.found {
		v.State = NotExercised
		v.Why = sentence("no %s in which %s was %s began and ended from %v to %v", what, j.Signal, is, start, end)
		return v
	}
	v.Margin, v.At = (j.least - j.atLeast).Seconds(), j.at
	if v.Margin < 0 {
		v.State = Failed
		v.Why = sentence("%s was %s for %s only, until %v, want %s at the least", j.Signal, is, span(j.least), j.at,
			span(j.atLeast))
	}
	return v
}

// GapAtLeast says that from each occurrence of an event to the next a span goes by at the least. The margin is the
// shortest gap less the span, in time; the allowance is the span. The time after the last occurrence counts when it is
// long enough. When no gap counts the outcome is not exercised.
func GapAtLeast(event Event, atLeast signal.Time) Property {
	return &property{conditions: []Condition{event.Condition}, edges: true, begin: func(s []subject) (judge, error) {
		if atLeast < 0 {
			return nil, fmt.Errorf("outcome: the time between two of %s is to be %v; want a span that is not negative",
				event.Signal, atLeast)
		}
		return &apart{subject: s[0], atLeast: atLeast, last: signal.Never}, nil
	}}
}

// apart judges it.
type apart struct {
	subject
	atLeast signal.Time
	last    signal.Time // occurrence; Never before the first
	found   bool
	least   signal.Time
	at      signal.Time // the end of the shortest gap
}

func (j *apart) step(_, at signal.Time, r []reading) {
	for range r[0].turns {
		if j.last != signal.Never {
			j.note(at)
		}
		j.last = at
	}
}

func (j *apart) note(at signal.Time) {
	if gap := at - j.last; !j.found || gap < j.least {
		j.found, j.least, j.at = true, gap, at
	}
}

func (j *apart) verdict(start, end signal.Time) Verdict {
	if j.last != signal.Never && end-j.last >= j.atLeast {
		j.note(end)
	}
	v := Verdict{Dim: quantity.Duration, Allowance: j.atLeast.Seconds(), At: end, Signal: j.Signal}
	if !j.found {
		v.State = NotExercised
		v.Why = sentence("%s did not occur twice from %v to %v", j.turning(), start, end)
		return v
	}
	v.Margin, v.At = (j.least - j.atLeast).Seconds(), j.at
	if v.Margin < 0 {
		v.State = Failed
		v.Why = sentence("%s occurred again after %s only, at %v, want %s at the least", j.turning(), span(j.least), j.at,
			span(j.atLeast))
	}
	return v
}
