package sitefile

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
	"time"

	"ullage/harness/signal"
	"ullage/harness/spelling"
)

var clockTime = regexp.MustCompile(`^([01]\d|2[0-3]):([0-5]\d)$`)

// TimeOfDay reads "06:30" as the span since midnight. The error says what was expected.
func TimeOfDay(text string) (signal.Time, error) {
	m := clockTime.FindStringSubmatch(text)
	if m == nil {
		return 0, errors.New(`a time of day from "00:00" to "23:59", as "06:30"`)
	}
	hours, _ := strconv.Atoi(m[1])
	minutes, _ := strconv.Atoi(m[2])
	return signal.Time(hours)*signal.Hour + signal.Time(minutes)*signal.Minute, nil
}

var weekdays = []string{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"}

// Weekday reads "Monday". The error says what was expected.
func Weekday(text string) (time.Weekday, error) {
	for i, day := range weekdays {
		if text == day {
			return time.Weekday(i), nil
		}
	}
	expected := "a day of the week, as Monday"
	if near := spelling.Nearest(text, weekdays); near != "" {
		expected += "; the nearest is " + near
	}
	return 0, errors.New(expected)
}

// Clock reads "Monday 00:00" as the day and the span since its midnight. The error says what was expected.
func Clock(text string) (time.Weekday, signal.Time, error) {
	day, hour, _ := strings.Cut(text, " ")
	weekday, err := Weekday(day)
	if err == nil {
		var at signal.Time
		if at, err = TimeOfDay(hour); err == nil {
			return weekday, at, nil
		}
	}
	return 0, 0, errors.New("a day of the week and a time of day, as Monday 06:30")
}
