package electric_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/internal/electric"
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
		assert.Equal(t, before != c.Energised, changed, "the coil must report whether it changed: %s", step.why)
	}
}

// A latch that needs 7 V.
func TestLatchPullsWithEitherPolarity(t *testing.T) {
	l := electric.Latch{PullIn: 7}
	for volts, pulls := range map[float64]bool{9: true, 7: true, 6.9: false, 0: false, -6.9: false, -7: true} {
		assert.Equal(t, pulls, l.Pulls(volts), "%g V", volts)
	}
}
