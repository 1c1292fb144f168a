package outcome

import (
	"fmt"

	"ullage/harness/signal"
)

// First is a property that counts from an event (EventWithin, SpacedEventWithin, AnyWithin, TurnsWithin, SettlesWithin) judged by
// the first occurrence of the event during the observation alone. Its monitor refuses another property, which has no
// event to count from.
func First(p Property) Property {
	of, is := p.(*property)
	if !is {
		return &property{begin: func([]subject) (judge, error) { return nil, errNoEvent(p) }}
	}
	first := *of
	first.begin = func(s []subject) (judge, error) {
		j, err := of.begin(s)
		if err != nil {
			return nil, err
		}
		switch j.(type) {
		case *within, *anyWithin, *settles:
			return &onlyFirst{judge: j}, nil
		}
		return nil, errNoEvent(p)
	}
	return &first
}

func errNoEvent(p Property) error {
	return fmt.Errorf("outcome: %v does not count from an event, so that there is no first one", p.Signals())
}

// onlyFirst hides the later occurrences of the event from a judge.
type onlyFirst struct {
	judge
	over bool
}

func (j *onlyFirst) step(since, at signal.Time, r []reading) {
	if j.over {
		r[0].turns = 0
	}
	j.over = j.over || r[0].turns > 0
	j.judge.step(since, at, r)
}

func (j *onlyFirst) before(at signal.Time, r []reading) {
	if e, is := j.judge.(early); is {
		e.before(at, r)
	}
}
