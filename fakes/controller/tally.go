package controller

import "ullage/harness/signal"

// tally counts what has been done in a day of the clock. It is kept in flash.
type tally struct {
	clock     *clock
	day       int // that the counters are of
	fills     int
	waterings int
}

// today is the tally of the present day, begun anew at midnight.
func (t *tally) today(now signal.Time) *tally {
	if day := t.clock.day(now); day != t.day {
		t.day, t.fills, t.waterings = day, 0, 0
	}
	return t
}
