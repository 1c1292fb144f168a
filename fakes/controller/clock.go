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
type clock struct{ offset signal.Time } // since Sunday 00:00, when the run begins

// newClock reads "Monday 06:30"; nothing given is Monday 00:00.
func newClock(text string) (clock, error) {
	if text == "" {
		return clock{signal.Day}, nil
	}
	day, at, err := sitefile.Clock(text)
	if err != nil {
		return clock{}, fmt.Errorf("controller: clock is %q, want %w", text, err)
	}
	return clock{timeOfWeek(day, at)}, nil
}

// timeOfWeek is a time of a day as the span since Sunday 00:00.
func timeOfWeek(day time.Weekday, at signal.Time) signal.Time {
	return signal.Time(day)*signal.Day + at
}

// next is the first moment, not before from, at which the clock shows one of the times of the week.
func (c clock) next(from signal.Time, times []signal.Time) signal.Time {
	first := signal.Never
	for _, t := range times {
		wait := (t - c.offset - from%week + 2*week) % week
		first = min(first, from+wait)
	}
	return first
}

// day numbers the days of the run by the clock, the first 0.
func (c clock) day(now signal.Time) int { return int((c.offset%signal.Day + now) / signal.Day) }

// show prints what the clock shows: "Monday 06:30".
func (c clock) show(now signal.Time) string {
	t := (c.offset + now) % week
	return fmt.Sprintf("%v %02d:%02d", time.Weekday(t/signal.Day), t%signal.Day/signal.Hour, t%signal.Hour/signal.Minute)
}
