package harness_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// A pressure that a Given changes as the run begins, and that nothing moves afterwards, differs from the twin's.
func TestWhatDiffersFromTheBeginningOnIsTouched(t *testing.T) {
	pressure := signal.Signal{Device: "regulator", Quantity: "pressure", Dim: quantity.Pressure, Shape: signal.Linear}
	run := func(pascals ...float64) *harness.Run {
		trace := signal.NewTrace()
		id := trace.Declare(pressure)
		for _, value := range pascals {
			trace.Put(signal.Change{ID: id, Value: value})
		}
		return &harness.Run{Trace: trace, End: signal.Minute}
	}
	assert.Equal(t, []string{"regulator"}, harness.Touched(run(250e3, 345e3), run(250e3)))
	assert.Empty(t, harness.Touched(run(250e3), run(250e3)))
	assert.Empty(t, harness.Touched(run(), run()), "nothing was recorded")
}
