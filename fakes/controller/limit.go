package controller

import "ullage/harness/signal"

// limit ends a run that lasts too long.
type limit interface {
	start(now signal.Time)                    // a run begins
	change(now signal.Time, most signal.Time) // a run may last so long; 0: for ever
	end() signal.Time                         // when the run has lasted too long; Never without a limit
}

// runLimit counts from the start of a run. A limit that is changed holds for a run that is under way.
type runLimit struct {
	most    signal.Time // 0: none
	counter *counter
	meets   func() // notes that an end of the counter lies within a limit

	began signal.Time
}

func (l *runLimit) start(now signal.Time) {
	l.began = now
	if l.counter.wraps(now, now+l.most) != (wrap{}) {
		l.meets()
	}
}

func (l *runLimit) change(_, most signal.Time) { l.most = most }

func (l *runLimit) end() signal.Time {
	if l.most == 0 {
		return signal.Never
	}
	return l.began + l.most
}
