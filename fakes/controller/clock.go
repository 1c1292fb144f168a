package controller

import (
	"fmt"
	"time"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// week is the period of the clock.
const week = 7 * signal.Day

// clock turns moments of the run into time of day and day of the week.
type clock struct {
	offset  signal.Time // since Sunday 00:00, when the run begins
	stepped signal.Time // by which it has been put forward since
	unset   bool        // nobody has set it: it counts from Thursday 00:00 at the epoch, as 1 January 1970 was one
	epoch   signal.Time
}

// known says whether somebody has set it.
func (c clock) known() bool { return !c.unset }

// shows is the time since some Sunday 00:00 that the clock shows at a moment.
func (c clock) shows(at signal.Time) signal.Time {
	if c.unset {
		return 4*signal.Day + at - c.epoch
	}
	return c.offset + c.stepped + at
}

// newClock reads "Monday 06:30"; nothing given is Monday 00:00.
func newClock(text string) (clock, error) {
	if text == "" {
		return clock{offset: signal.Day}, nil
	}
	day, at, err := sitefile.Clock(text)
	if err != nil {
		return clock{}, fmt.Errorf("controller: clock is %q, want %w", text, err)
	}
	return clock{offset: timeOfWeek(day, at)}, nil
}

// timeOfWeek is a time of a day as the span since Sunday 00:00.
func timeOfWeek(day time.Weekday, at signal.Time) signal.Time {
	return signal.Time(day)*signal.Day + at
}

// next is the first moment, not before from, at which the clock shows one of the times of the week.
func (c clock) next(from signal.Time, times []signal.Time) signal.Time {
	first := signal.Never
	for _, t := range times {
		wait := ((t-c.shows(from))%week + week) % week
		first = min(first, from+wait)
	}
	return first
}

// day numbers the days of the run by the clock, the first 0.
func (c clock) day(now signal.Time) int {
	return int((c.offset%signal.Day+c.stepped+now+8*signal.Day)/signal.Day) - 8
}

// show prints what the clock shows: "Monday 06:30".
func (c clock) show(now signal.Time) string {
	t := (c.shows(now)%week + week) % week
	return fmt.Sprintf(
		"%v %02d:%02d",
		time.Weekday(t/signal.Day),
		t%signal.Day/signal.Hour,
		t%signal.Hour/signal.Minute,
	)
}
