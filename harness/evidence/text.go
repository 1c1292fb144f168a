package evidence

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// marginText prints a margin with its unit; of a count, how many more or fewer it could have been.
func marginText(margin float64, dim quantity.Dimension) string {
	text := quantity.FormatDifferenceIn(margin, dim, quantity.Metric)
	switch {
	case dim != quantity.Count || margin < 0:
		return text
	case margin == 0:
		return "none left"
	}
	return text + " more"
}

// clock prints a moment to the millisecond.
func clock(t signal.Time) string {
	if t == signal.Never {
		return t.String()
	}
	return ((t + signal.Millisecond/2) / signal.Millisecond * signal.Millisecond).String()
}
