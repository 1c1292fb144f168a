package controller

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// The clock against the calendar of the standard library: a run that begins at the first second of some day, and the next
// moment at which one of the times of the week comes.
func TestClockAgainstCalendar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		begin := time.Date(2024, 1, rapid.IntRange(1, 7).Draw(t, "day"), rapid.IntRange(0, 23).Draw(t, "hour"), 0, 0, 0, time.UTC)
		c, err := newClock(begin.Format("Monday 15:04"))
		require.NoError(t, err)
		from := signal.Time(rapid.Int64Range(0, int64(30*signal.Day)).Draw(t, "from"))
		times := rapid.SliceOfN(rapid.IntRange(0, 7*24*60-1), 1, 4).Draw(t, "minutes of the week")
		var week []signal.Time
		for _, minute := range times {
			week = append(week, signal.Time(minute)*signal.Minute)
		}
		next := c.next(from, week)

		shown := begin.Add(time.Duration(next))
		assert.Equal(t, shown.Format("Monday 15:04"), c.show(next))
		minute := int(shown.Weekday())*24*60 + shown.Hour()*60 + shown.Minute()
		assert.Contains(t, times, minute, "the clock shows none of the times at %v", next)
		assert.Zero(t, shown.Second()+shown.Nanosecond())
		for _, m := range times { // nothing between from and next
			missed := next - signal.Time((minute-m+7*24*60)%(7*24*60))*signal.Minute
			assert.True(t, missed == next || missed < from, "the time at %v was missed", missed)
		}
		midnight := begin.Truncate(24 * time.Hour)
		assert.Equal(t, int(begin.Add(time.Duration(from)).Sub(midnight)/(24*time.Hour)), c.day(from))
	})
}

func TestClockWithoutTimes(t *testing.T) {
	c, err := newClock("")
	require.NoError(t, err)
	assert.Equal(t, "Monday 00:00", c.show(0))
	assert.Equal(t, signal.Never, c.next(0, nil))
}
