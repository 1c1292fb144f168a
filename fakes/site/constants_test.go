package site

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/internal/contact"
	"ullage/fakes/internal/surge"
	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
)

// What the order of the house keeps from importing the constants of the water has the same ones all the same.
func TestOneWaterEverywhere(t *testing.T) {
	standard := water.Standard()
	assert.Equal(t, standard.Density, surge.Density, "a surge runs in water of another density")
	assert.InEpsilon(t, standard.Gravity, math.Pow(contact.Swing(1, 1000), 2), 1e-12,
		"water sloshes under another gravity")

	bore := fault.LeakHole(1e-4, 0.8)
	flow := pipework.HoleFlow(math.Pi/4*bore*bore) * math.Sqrt(0.8)
	assert.InEpsilon(t, 1e-4, flow, 1e-12, "a leak of so many litres is another flow through its hole")
}
