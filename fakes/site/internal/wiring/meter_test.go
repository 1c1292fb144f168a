package wiring

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What passes above the flow that a meter starts at, against the sum of many short pieces.
func TestPassedAbove(t *testing.T) {
	for _, c := range []struct{ start, end float64 }{
		{2, 3}, {0, 0.5}, {0, 3}, {3, 0}, {1, 1}, {0.5, 1.5}, {1.5, 0.5}, {0, 0}, {2, 2},
	} {
		for _, share := range []float64{0, 0.1, 0.5, 0.9, 1} {
			const least, dt, pieces = 1.0, 4.0, 20000
			sum := 0.0
			for i := range pieces {
				at := share * (float64(i) + 0.5) / pieces
				if flow := c.start + (c.end-c.start)*at; flow >= least {
					sum += flow * share * dt / pieces
				}
			}
			assert.InDelta(t, sum, passedAbove(least, c.start, c.end, share, dt), 1e-3, "%v at %g", c, share)
		}
	}
}
