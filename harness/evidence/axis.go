package evidence

import (
	"math"
	"strconv"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// timeSteps are the distances between two ticks of a time axis that people can count in.
var timeSteps = []signal.Time{
	1e3, 2e3, 5e3, 1e4, 2e4, 5e4, 1e5, 2e5, 5e5, // µs
	1e6, 2e6, 5e6, 1e7, 2e7, 5e7, 1e8, 2e8, 5e8, // ms
	1 * signal.Second, 2 * signal.Second, 5 * signal.Second, 10 * signal.Second, 15 * signal.Second, 30 * signal.Second,
	1 * signal.Minute, 2 * signal.Minute, 5 * signal.Minute, 10 * signal.Minute, 15 * signal.Minute, 30 * signal.Minute,
	1 * signal.Hour, 2 * signal.Hour, 3 * signal.Hour, 6 * signal.Hour, 12 * signal.Hour,
	1 * signal.Day, 2 * signal.Day, 5 * signal.Day, 10 * signal.Day, 20 * signal.Day, 50 * signal.Day, 100 * signal.Day,
	1000 * signal.Day,
}

// timeTicks are the moments at which a time axis has its ticks: at most so many, at whole multiples of a step.
func timeTicks(from, to signal.Time, most int) []signal.Time {
	step := timeSteps[len(timeSteps)-1]
	for _, s := range timeSteps {
		if (to-from)/s < signal.Time(most) {
			step = s
			break
		}
	}
	var ticks []signal.Time
	first := (from + step - 1) / step * step
	for n := signal.Time(0); first <= to && n <= (to-first)/step; n++ {
		ticks = append(ticks, first+n*step)
	}
	return ticks
}

// scale is the vertical axis of a panel in trade units.
type scale struct {
	unit           string
	factor, offset float64
	low, high      float64 // in trade units, at ticks
	step           float64
	decimals       int
}

// newScale is an axis that reaches over values from low to high, given in SI.
func newScale(dim quantity.Dimension, low, high float64) scale {
	var s scale
	s.unit, s.factor, s.offset = quantity.TradeUnit(dim)
	low, high = s.trade(low), s.trade(high)
	if low > 0 && low < 0.5*high {
		low = 0
	}
	switch {
	case high > low+float64(1e-9*math.Abs(high)):
	case low == 0:
		high = 1 // nothing came: no count, volume or flow below nothing
	default:
		pad := math.Max(1, 0.1*math.Abs(high))
		low, high = low-pad, high+pad
	}
	s.step, s.decimals = niceStep((high - low) / 5)
	if dim == quantity.Count && s.step < 1 {
		s.step, s.decimals = 1, 0
	}
	s.low = float64(s.step * math.Floor(low/s.step+1e-9))
	s.high = float64(s.step * math.Ceil(high/s.step-1e-9))
	return s
}

func (s scale) trade(si float64) float64 { return (si - s.offset) / s.factor }

// share is where a value stands between the ends of the axis: 0 at the bottom, 1 at the top.
func (s scale) share(si float64) float64 { return (s.trade(si) - s.low) / (s.high - s.low) }

// ticks are the values at the ticks and their shares.
func (s scale) ticks() (labels []string, shares []float64) {
	for i := 0; i < 12; i++ {
		v := s.low + float64(float64(i)*s.step)
		if v > s.high+float64(s.step*1e-6) {
			break
		}
		labels = append(labels, strconv.FormatFloat(v, 'f', s.decimals, 64))
		shares = append(shares, (v-s.low)/(s.high-s.low))
	}
	return labels, shares
}

// niceStep is the smallest of 1, 2, 5 times a power of ten that is not below a distance, and its decimals.
func niceStep(distance float64) (step float64, decimals int) {
	power := 1.0
	for power > distance && decimals < 12 {
		power /= 10
		decimals++
	}
	for power*10 <= distance && power < 1e15 {
		power *= 10
	}
	for _, n := range []float64{1, 2, 5} {
		if n*power >= distance*(1-1e-9) {
			return n * power, decimals
		}
	}
	return 10 * power, max(0, decimals-1)
}
