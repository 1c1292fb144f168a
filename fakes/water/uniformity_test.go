package water_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/water"
)

func TestUniformityOfFewEmitters(t *testing.T) {
	tests := []struct {
		name                       string
		flows                      []float64
		lowerQuarter, christiansen float64
	}{
		{"all the same", []float64{2, 2, 2, 2}, 1, 1},
		{"one of four is blocked", []float64{2, 0, 2, 2}, 0, 0.5},
		{"a quarter of six is one and a half", []float64{1, 2, 3, 3, 3, 3}, (1 + 0.5*2) / 1.5 / 2.5, 1 - 4.0/15},
		{"a single one", []float64{3}, 1, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			given := append([]float64(nil), tt.flows...)
			lower, christiansen := water.Uniformity(tt.flows)
			assert.InDelta(t, tt.lowerQuarter, lower, 1e-12, "lower quarter")
			assert.InDelta(t, tt.christiansen, christiansen, 1e-12, "Christiansen")
			assert.Equal(t, given, tt.flows, "the flows were changed")
		})
	}
	for _, none := range [][]float64{nil, {0, 0}} {
		lower, christiansen := water.Uniformity(none)
		assert.True(t, math.IsNaN(lower) && math.IsNaN(christiansen), "%v gives %v and %v", none, lower, christiansen)
	}
}
