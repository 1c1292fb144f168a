package electric_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/electric"
	"ullage/harness"
)

// A coil of 36 Ω that lifts at 8 V and lets go below 3 V, driven through a source of some resistance.
func TestCoilPullsInAndDropsOut(t *testing.T) {
	c := electric.Coil{PullIn: 8, DropOut: 3, Ohms: 36}
	for _, step := range []struct {
		volts, ohms float64
		energised   bool
		why         string
	}{
		{7.9, 0, false, "too little to pull in"},
		{12, 18.1, false, "12 V behind 18.1 Ω leave less than 8 V at 36 Ω"},
		{12, 18, true, "12 V behind 18 Ω leave 8 V"},
		{5, 0, true, "it holds between the two"},
		{3, 0, true, "it holds at the drop-out voltage"},
		{2.99, 0, false, "below it lets go"},
		{5, 0, false, "and does not pull in between the two"},
		{12, 0, true, "in again"},
		{12, 1e12, false, "an open output drives nothing"},
		{12, math.Inf(1), false, "nor does an infinite resistance"},
	} {
		before := c.Energised
		changed := c.Drive(harness.Pin{Volts: step.volts, Ohms: step.ohms})
		assert.Equal(t, step.energised, c.Energised, step.why)
		assert.Equal(t, before != c.Energised, changed, "the coil must tell whether it changed: %s", step.why)
	}
}
