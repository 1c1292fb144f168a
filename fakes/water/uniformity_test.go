package water_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/water"
)

// Rows UF2 and UF3: a catch of 16 emitters.
func TestHandbookUniformity(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "uniformity of emitters",
		Equation: "lower quarter over mean; 1 - Σ|q - mean| / (n mean)",
		Source:   "J. L. Merriam and J. Keller (1978), J. E. Christiansen (1942), definitions verified, handbook.csv UF2 and UF3", Tolerance: 1e-6})
	book := handbook(t)
	_, list, found := strings.Cut(book["UF2"][3], ":")
	require.True(t, found, "the flows of UF2")
	var flows []float64
	for _, text := range strings.Fields(list) {
		flows = append(flows, number(t, text))
	}
	require.Len(t, flows, 16)
	lower, christiansen := water.Uniformity(flows)
	check.Near(number(t, book["UF2"][5])/100, lower, "UF2")
	check.Near(number(t, book["UF3"][5])/100, christiansen, "UF3")
}

// Rows WD20 and WN20: what a network is solved with unless told otherwise.
func TestHandbookWater(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "water at 20 °C", Equation: "density and kinematic viscosity",
		Source: "G. S. Kell (1975) and IAPWS SR6-08, handbook.csv WD20 and WN20, coefficients from memory, agree with a verified table", Tolerance: 1e-3})
	book := handbook(t)
	check.Near(number(t, book["WD20"][5]), water.Standard().Density, "WD20")
	check.Near(number(t, book["WN20"][5]), water.Standard().Viscosity, "WN20")
}

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
