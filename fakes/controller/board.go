package controller

import (
	"math"
	"sort"

	"ullage/harness"
	"ullage/harness/signal"
)

// board is the terminals as they are at present, and the input stages behind them.
type board struct {
	pins     []harness.Pin // last pin of each terminal
	digital  harness.Input
	analogue harness.Input
	feed     int // terminal of the supply
}

// supplyStage is the power terminal as the brown-out detector sees it: the open-circuit volts of its pin, and nothing
// when the lead is off.
var supplyStage = harness.Input{PullUp: math.Inf(1), Leak: math.Inf(1)}

// supply is the pin of the power terminal.
func (b *board) supply() harness.Pin { return b.pins[b.feed] }

// supplyVolts is the voltage of the supply, V.
func (b *board) supplyVolts(at signal.Time) float64 { return supplyStage.Volts(b.pins[b.feed], at) }

// crossing is the first moment after now at which something that depends on the pin alone turns true, to the
// nanosecond.
func crossing(pin harness.Pin, now signal.Time, is func(signal.Time) bool) signal.Time {
	if pin.Slope == 0 {
		return signal.Never
	}
	ahead := int(signal.Never - now)
	n := sort.Search(ahead, func(i int) bool { return is(now + 1 + signal.Time(i)) })
	if n == ahead {
		return signal.Never
	}
	return now + 1 + signal.Time(n)
}
