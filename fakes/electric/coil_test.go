package electric_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/electric"
)

// A coil that lifts at 8 V and lets go below 3 V.
func TestCoilPullsInAndDropsOut(t *testing.T) {
	c := electric.Coil{PullIn: 8, DropOut: 3}
	for _, step := range []struct {
		volts     float64
		energised bool
		why       string
	}{
		{7.9, false, "too little to pull in"},
		{8, true, "enough to pull in"},
		{5, true, "it holds between the two"},
		{3, true, "it holds at the drop-out voltage"},
		{2.99, false, "below it lets go"},
		{5, false, "and does not pull in between the two"},
		{12, true, "in again"},
		{0, false, "nothing holds it"},
	} {
		before := c.Energised
		changed := c.Feel(step.volts)
		assert.Equal(t, step.energised, c.Energised, step.why)
		assert.Equal(t, before != c.Energised, changed, "the coil must tell whether it changed: %s", step.why)
	}
}

// A latch that needs 7 V for 20 ms.
func TestLatchNeedsAPulseOfStrengthAndLength(t *testing.T) {
	l := electric.Latch{PullIn: 7, Pulse: 20e-3}
	for _, pulse := range []struct {
		volts, slope float64
		moves        bool
		why          string
	}{
		{9, 0, true, "strong and steady"},
		{6.9, 0, false, "too weak"},
		{9, -100, true, "9 V falling to 7 V in 20 ms is just enough"},
		{9, -101, false, "and falling faster is not"},
		{-9, 100, true, "the other polarity moves it as well"},
		{-9, 101, false, "if it lasts"},
		{6.9, 100, false, "a pulse that grows begins too weak"},
	} {
		assert.Equal(t, pulse.moves, l.Moves(pulse.volts, pulse.slope), pulse.why)
	}
}
