package controller

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness"
	"ullage/harness/signal"
)

// The clock against the calendar of the standard library: a run that begins at the first second of some day, and the
// next moment at which one of the times of the week comes.
func TestClockAgainstCalendar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		begin := time.Date(
			2024,
			1,
			rapid.IntRange(1, 7).Draw(t, "day"),
			rapid.IntRange(0, 23).Draw(t, "hour"),
			0,
			0,
			0,
			time.UTC,
		)
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

// A clock that is put back beyond the Sunday before the run shows a day of the week before; one that nobody has set
// counts from a Thursday, as 1 January 1970 was one.
func TestClockThatIsNotOnTime(t *testing.T) {
	back := clock{offset: signal.Day + 6*signal.Hour, stepped: -2 * signal.Day}
	assert.Equal(t, "Saturday 07:00", back.show(signal.Hour))
	assert.Equal(t, -2, back.day(0))
	assert.Equal(t, -1, back.day(18*signal.Hour))
	unset := clock{offset: signal.Day, unset: true, epoch: 90 * signal.Minute}
	assert.Equal(t, "Thursday 01:30", unset.show(3*signal.Hour))
}

// A start that the clock shows for the second time, because it was put back, is not run again; one that it has jumped
// over is not made up for; without a time of day there is none.
func TestStartsWhenTheClockChanges(t *testing.T) {
	hours := func(h float64) signal.Time { return signal.FromSeconds(h * 3600) }
	for _, c := range []struct {
		name   string
		at     signal.Time // when the knob is turned; the run begins on Monday at 00:00
		knob   string
		value  float64
		want   []signal.Time // starts of drip, at 06:00 and 18:00, within 30 h
		option []Option
		met    int // starts that are told to have come a second time
	}{
		{"untouched", hours(1), "clock step", 0, []signal.Time{hours(6), hours(18)}, nil, 0},
		{"put back after a start", hours(6.5), "clock step", -3600, []signal.Time{hours(6), hours(19)}, nil, 1},
		{"put back after a start, and that is run again", hours(6.5), "clock step", -3600, []signal.Time{hours(6), hours(7), hours(19)}, []Option{Seeded("start-repeated")}, 0},
		{"put back before a start", hours(5.5), "clock step", -3600, []signal.Time{hours(7), hours(19)}, nil, 0},
		{"put back over midnight", hours(0.5), "clock step", -3600, []signal.Time{hours(7), hours(19)}, nil, 0},
		{"put forward over a start", hours(5.5), "clock step", 7200, []signal.Time{hours(16), hours(28)}, nil, 0},
		{"put forward up to a start", hours(5.5), "clock step", 1500, []signal.Time{335 * signal.Minute, 1055 * signal.Minute, 1775 * signal.Minute}, nil, 0},
		{"put forward by a week", hours(5.5), "clock step", 7 * 86400, []signal.Time{hours(6), hours(18)}, nil, 0},
		{"never set", hours(1), "clock unset", 1, nil, nil, 0},
		{"never set, and believed", hours(1), "clock unset", 1, []signal.Time{hours(7), hours(19)}, []Option{Seeded("clock-unset-trusted")}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			spec, terminals := ternLane()
			spec.Settings.Moisture = nil
			r := newRig(t, spec, terminals, c.option...)
			r.until(c.at)
			r.turn(c.knob, c.value)
			r.until(hours(29.9))
			id, _ := r.trace.Find("drip.command")
			command := r.trace.Column(id)
			var starts []signal.Time
			for i, v := range command.Value {
				if v > 0 {
					starts = append(starts, command.At[i])
				}
			}
			assert.Equal(t, c.want, starts)
			assert.Equal(t, c.met, r.disturbed(), "the defect that the firmware is told to have met")
		})
	}
}

// A start that would come a second time is not told to have met a firmware that has lost its settings.
func TestTheClockIsPutBackWithoutSettings(t *testing.T) {
	spec, terminals := ternLane()
	r := newRig(t, spec, terminals)
	r.until(6*signal.Hour + 30*signal.Minute)
	r.turn("settings lost", 1)
	r.until(r.now + signal.Minute)
	r.turn("clock step", -3600)
	r.until(8 * signal.Hour)
	assert.Zero(t, r.disturbed())
}

// Two starts within 12 h of each other are two starts.
func TestTwoStartsOfAMorning(t *testing.T) {
	spec, terminals := ternLane()
	spec.Settings.Moisture = nil
	spec.Settings.Programmes[0].Starts = []string{"06:00", "09:00"}
	r := newRig(t, spec, terminals)
	r.until(9*signal.Hour + signal.Minute)
	id, _ := r.trace.Find("drip.command")
	assert.Len(t, r.trace.Column(id).At, 4, "off at first, on, off, and on again at 09:00")
	assert.True(t, r.isOn("drip"), "the second start of the morning does not come")
}

// Without a programme nobody misses the time of day.
func TestAClockThatNothingNeeds(t *testing.T) {
	spec, terminals := ternLane()
	spec.Settings.Programmes = nil
	r := newRig(t, spec, terminals)
	r.turn("clock unset", 1)
	r.until(signal.Hour)
	assert.Zero(t, r.alerted(harness.AlertClockNotSet))
}

func TestAClockThatIsSetLater(t *testing.T) {
	spec, terminals := ternLane()
	r := newRig(t, spec, terminals)
	r.turn("clock unset", 1)
	r.until(10 * signal.Hour)
	id, _ := r.trace.Find("controller.alert clock not set")
	assert.Len(t, r.trace.Column(id).At, 1, "it says once that it does not know the time")
	require.NoError(t, r.panel.Close(r.now, "controller", "clock unset", 1))
	r.until(18*signal.Hour + signal.Second)
	assert.True(t, r.isOn("drip"), "the programme does not run although the clock has been set")
}
