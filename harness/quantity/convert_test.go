package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/quantity"
)

func TestIn(t *testing.T) {
	assert.InDelta(t, 2.4, quantity.In(2.4e5, quantity.Pressure, "bar"), 1e-12)
	assert.InDelta(t, 34.809, quantity.In(2.4e5, quantity.Pressure, "psi"), 1e-3)
	assert.InDelta(t, 68, quantity.In(20, quantity.Temperature, "°F"), 1e-9, "a temperature has a zero of its own")
	assert.Panics(t, func() { quantity.In(1, quantity.Flow, "bar") }, "bar is no flow")
}
