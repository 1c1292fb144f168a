package evidence

import (
	"fmt"
	"math"
	"strconv"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// marginText prints a margin with its unit; of a count, how many more or fewer it could have been.
func marginText(margin float64, dim quantity.Dimension) string {
	switch {
	case math.IsInf(margin, 1):
		return "∞"
	case math.IsInf(margin, -1):
		return "-∞"
	}
	text := quantity.FormatDifferenceIn(margin, dim, quantity.Metric)
	switch {
	case dim != quantity.Count || margin < 0:
		return text
	case margin == 0:
		return "none left"
	}
	return text + " more"
}

// percent prints a share with two or three digits: "4.2 %", "24 %".
func percent(share float64) string {
	p := share * 100
	digits := 0
	switch size := math.Abs(p); {
	case size == 0 || math.IsInf(p, 0):
	case size < 0.1:
		return strconv.FormatFloat(p, 'g', 2, 64) + " %"
	case size < 9.95:
		digits = 1
	}
	return strconv.FormatFloat(p, 'f', digits, 64) + " %"
}

// clock prints a moment to the millisecond.
func clock(t signal.Time) string {
	if t == signal.Never {
		return t.String()
	}
	return ((t + signal.Millisecond/2) / signal.Millisecond * signal.Millisecond).String()
}

// plural is "1 scenario", "2 scenarios".
func plural(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
