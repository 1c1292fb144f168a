package hydraulics

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/sitefile"
)

// The share of the capacity over the stroke, worked out by hand: x, √x, (50^x - 1)/49, 1 - (1-x)^3.5.
func TestCharacteristicsAlongTheStroke(t *testing.T) {
	strokes := []float64{0, 0.1, 0.25, 0.4, 0.75, 1}
	for c, shares := range map[sitefile.Characteristic][]float64{
		sitefile.LinearCharacteristic: {0, 0.1, 0.25, 0.4, 0.75, 1},
		sitefile.QuickOpening:         {0, 0.316228, 0.5, 0.632456, 0.866025, 1},
		sitefile.EqualPercentage:      {0, 0.009771, 0.033860, 0.077179, 0.363327, 1},
		sitefile.Diaphragm:            {0, 0.308410, 0.634646, 0.832687, 0.992188, 1},
	} {
		capacity := characteristicOf(c).capacity
		for i, stroke := range strokes {
			assert.InDelta(t, shares[i], capacity(stroke), 1e-6, "%s valve at %g of its stroke", c, stroke)
		}
		assert.Zero(t, capacity(0), "a %s valve on its seat passes water", c)
		for x := 0.0; x < 1; x += 1.0 / 64 {
			assert.Less(t, capacity(x), capacity(x+1.0/64), "a %s valve passes less as it opens, at %g", c, x)
		}
	}
}
