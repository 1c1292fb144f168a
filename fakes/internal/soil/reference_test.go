package soil_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/soil"
)

const (
	cm  = 0.01
	day = 86400.0
)

// table reads a CSV of the reference data by the names of its columns.
func table(t *testing.T, name string) (rows []map[string]string) {
	f, err := os.Open("../../../testdata/reference/" + name)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, r := range all[1:] {
		row := map[string]string{}
		for i, key := range all[0] {
			row[key] = r[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, row map[string]string, key string) float64 {
	v, err := strconv.ParseFloat(row[key], 64)
	require.NoError(t, err, "%s of %v", key, row)
	return v
}

// celiaB is the soil of Celia et al. 1990, their data 13.
var celiaB = soil.VanGenuchten{Residual: 0.102, Saturated: 0.368, AirEntry: cm / 0.0335, N: 2,
	Conductivity: 0.00922 * cm}

// column is one of a metre, or less, that begins at one pressure head and is held at heads above and below.
func column(s *soil.Soil, cells int, depth, begins, surface, base, tolerance float64) *soil.Column {
	c := soil.NewColumn(s, cells, depth, depth)
	c.Base, c.BaseHead, c.HoldsHead, c.SurfaceHead, c.Tolerance = soil.FixedHead, base, true, surface, tolerance
	c.SetHeads(func(float64) float64 { return begins })
	return c
}

// depthOf is the depth at which the pressure head first falls to a value, straight between the cells, m.
func depthOf(c *soil.Column, head, depth float64) float64 {
	const step = 1e-4
	for d := step; d < depth; d += step {
		if c.HeadAt(d) <= head {
			return d
		}
	}
	return math.Inf(1)
}

func TestCeliaB(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "wetting front in sand, 24 h",
		Equation: "Richards, mixed form, Newton; van Genuchten-Mualem; cells of 5 mm, arithmetic mean conductivity",
		Source:   "Celia, Bouloutas and Zarba 1990, case B, fig. 6a as digitised in public code (verified there, to 1 cm)", Tolerance: 1, Unit: "cm"})
	c := column(soil.Of(celiaB), 200, 1, -10, -0.75, -10, 2e-4)
	before := c.Stored()
	c.Advance(day, soil.Demand{})
	for _, front := range []struct{ head, depth float64 }{{-2, 53.5}, {-5, 56.6}, {-9, 57.4}} {
		check.Near(front.depth, depthOf(c, front.head, 1)/cm, "the depth of a pressure head of %g m", front.head)
	}
	assert.InDelta(t, 1, (c.Stored()-before)/(c.Applied-c.Drained), 1e-12, "storage change by net inflow")
	assert.InDelta(t, 4.109, c.Applied/cm, 0.03, "inflow in cm (recomputed with cells of 1 mm)")
}

// With finer cells the front is where an independent program has it with cells of 1 mm.
func TestCeliaBConverges(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "wetting front in sand, 24 h, finer cells",
		Equation: "as above; cells of 1 mm",
		Source:   "Celia, Bouloutas and Zarba 1990, case B, recomputed by an independent program with cells of 1 mm and steps of 30 s", Tolerance: 0.1, Unit: "cm"})
	c := column(soil.Of(celiaB), 1000, 1, -10, -0.75, -10, 5e-5)
	c.Advance(day, soil.Demand{})
	for _, front := range []struct{ head, depth float64 }{{-2, 53.67}, {-5, 56.50}, {-9, 57.08}} {
		check.Near(front.depth, depthOf(c, front.head, 1)/cm, "the depth of a pressure head of %g m", front.head)
	}
	assert.InDelta(t, 4.1087, c.Applied/cm, 0.01, "inflow in cm")
}

func TestCeliaA(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "wetting front in sand, 6 min",
		Equation: "Richards, mixed form, Newton; curves of Haverkamp et al. 1977; cells of 2.5 mm",
		Source:   "Celia, Bouloutas and Zarba 1990, case A; depths recomputed with cells of 1 mm by an independent program (no published depth)", Tolerance: 0.3, Unit: "cm"})
	haverkamp := soil.Tabulate(
		func(s float64) float64 { return 0.075 + 1.611e6*(0.287-0.075)/(1.611e6+math.Pow(s/cm, 3.96)) },
		func(s float64) float64 { return 0.00944 * cm * 1.175e6 / (1.175e6 + math.Pow(s/cm, 4.74)) })
	c := column(haverkamp, 160, 40*cm, -61.5*cm, -20.7*cm, -61.5*cm, 2e-4)
	c.Advance(360, soil.Demand{})
	for _, front := range []struct{ head, depth float64 }{{-30, 13.03}, {-45, 16.29}, {-60, 19.36}} {
		check.Near(front.depth, depthOf(c, front.head*cm, 0.4)/cm, "the depth of a pressure head of %g cm", front.head)
	}
	assert.InDelta(t, 2.373, c.Applied/cm, 0.03, "inflow in cm")
}

// exponential is the soil of Gardner 1958: conductivity and water content fall with e^(-a s).
func exponential(a, conductivity, residual, saturated float64) *soil.Soil {
	return soil.Tabulate(func(s float64) float64 { return residual + (saturated-residual)*math.Exp(-a*s) },
		func(s float64) float64 { return conductivity * math.Exp(-a*s) })
}

func TestSrivastavaYeh(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "infiltration above a water table, pressure heads of 1 to 50 h",
		Equation: "Richards with exponential curves; cells of 5 mm",
		Source:   "Srivastava and Yeh 1991, analytic (formula from memory, recomputed; agrees with an independent solver to 0.0072 cm)", Tolerance: 0.05, Unit: "cm"})
	c := soil.NewColumn(exponential(0.1/cm, 1*cm/3600, 0.06, 0.40), 200, 1, 1)
	c.Base, c.Tolerance = soil.FixedHead, 5e-6
	// at rest with 0.1 cm/h: e^(a psi) = q + (1 - q) e^(-a z), z above the water table
	c.SetHeads(func(depth float64) float64 { return math.Log(0.1+0.9*math.Exp(-10*(1-depth))) / 10 })
	now := 0.0
	for _, row := range table(t, "srivastava_yeh_1991.csv") {
		at, z := number(t, row, "t_h")*3600, number(t, row, "z_above_wt_cm")*cm
		c.Advance(at-now, soil.Demand{Application: 0.9 * cm / 3600})
		now = at
		head := c.HeadAt(1 - z)
		switch edge := 0.5 * 0.005; z { // the ends are half a cell beyond the outermost middles
		case 1:
			head += (c.HeadAt(edge) - c.HeadAt(3*edge)) / 2
		case 0:
			head += (c.HeadAt(1-edge) - c.HeadAt(1-3*edge)) / 2
		}
		check.Near(number(t, row, "psi_exact_cm"), head/cm, "the pressure head %g cm above the water table after %g h",
			z/cm, at/3600)
	}
}

func TestSteadyEvaporationAboveAWaterTable(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "steady rise from a water table, 1 cm/d",
		Equation: "Richards with exponential conductivity; cells of 5 mm",
		Source:   "Gardner 1958, analytic (recomputed)", Tolerance: 0.1, Unit: "cm"})
	c := soil.NewColumn(exponential(0.02/cm, 10*cm/day, 0.06, 0.40), 200, 1, 1)
	c.Base = soil.FixedHead
	c.SetHeads(func(d float64) float64 { return d - 1 })
	c.Advance(300*day, soil.Demand{Evaporation: 1 * cm / day})
	for _, at := range []struct{ height, head float64 }{{10, -11.119}, {25, -28.354}, {50, -59.427}, {75, -96.398}} {
		check.Near(at.head, c.HeadAt(1-at.height*cm)/cm, "the pressure head %g cm above the water table", at.height)
	}
	c.Advance(300*day, soil.Demand{Evaporation: 3 * cm / day})
	before := c.Evaporated
	c.Advance(day, soil.Demand{Evaporation: 3 * cm / day})
	assert.InDelta(t, 1.565176, (c.Evaporated-before)/cm, 0.03, "no more rises than Gardner's limit, cm/d")
}

func TestCarselParrish(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "water content by suction, 12 texture classes",
		Equation:  "van Genuchten 1980, eq. 3, as tabulated",
		Source:    "Carsel and Parrish 1988, class means (verified); water contents at 1, 3.365 and 152.96 m recomputed",
		Tolerance: 5e-5, Unit: "by volume"})
	conductivity := accuracy.New(t,
		accuracy.Row{Computation: "conductivity at 1 and 3.365 m suction, 12 texture classes",
			Equation: "Mualem 1976 with van Genuchten 1980, eq. 8, as tabulated",
			Source:   "Carsel and Parrish 1988, class means (verified); conductivities recomputed", Tolerance: 2e-3})
	for _, row := range table(t, "carsel_parrish_1988.csv") {
		s := soil.Of(soil.VanGenuchten{Residual: number(t, row, "theta_r"), Saturated: number(t, row, "theta_s"),
			AirEntry: cm / number(t, row, "alpha_per_cm"),
			N:        number(t, row, "n"), Conductivity: number(t, row, "Ks_cm_per_day") * cm / day})
		for key, suction := range map[string]float64{"derived_theta_100cm": 1, "derived_theta_336.5cm_33kPa": 3.365,
			"derived_theta_15296cm_1500kPa": 152.96} {
			check.Near(number(t, row, key), s.WaterContent(-suction), "the water content of %s at %g m", row["texture"],
				suction)
		}
		conductivity.Near(number(t, row, "derived_K_100cm_cm_per_day"), s.Conductivity(-1)*day/cm,
			"the conductivity of %s at 1 m", row["texture"])
		conductivity.Near(number(t, row, "derived_K_336.5cm_cm_per_day"), s.Conductivity(-3.365)*day/cm,
			"the conductivity of %s at 3.365 m", row["texture"])
	}
}
