// Package probe models soil-moisture probes: from water content to the permittivity that a probe feels, from there to
// volts or to the current of a 4-20 mA loop, and what mains wiring nearby couples into the lead.
// It is no API: it serves fakes/site.
package probe

import (
	"math"

	"ullage/harness/numeric"
)

// Curve is the relation between water content by volume and what a probe feels of it.
type Curve uint8

// The curves.
const (
	Linear  Curve = iota // in proportion to the water content itself: a probe that was calibrated in its own soil
	Mineral              // permittivity of mineral soil
	Organic              // permittivity of organic soil: peat, forest floor, potting mixes
)

// Feels is what a probe feels of a water content, 0 to 1: the relative permittivity, or the water content itself on the
// linear curve.
func (c Curve) Feels(water float64) float64 {
	switch c {
	case Mineral:
		return ToppPermittivity(water)
	case Organic:
		return SchaapPermittivity(water)
	}
	return water
}

// ToppWater is the water content of mineral soil with a relative permittivity: Topp, Davis and Annan 1980 (coefficients
// from memory, and the same in public code).
func ToppWater(permittivity float64) float64 {
	e := permittivity
	return -0.053 + float64(e*(0.0292+float64(e*(-5.5e-4+float64(e*4.3e-6)))))
}

// ToppPermittivity inverts ToppWater by Newton's method; the polynomial rises everywhere. In air it is 1.
func ToppPermittivity(water float64) float64 {
	e := 20.0
	for range 40 {
		step := (ToppWater(e) - water) / (0.0292 + float64(e*(-1.1e-3+float64(e*1.29e-5))))
		e -= math.Max(-20, math.Min(20, step)) // the curve is nearly level at 43
		if math.Abs(step) < 1e-12*math.Abs(e) {
			break
		}
	}
	return math.Max(1, e)
}

// SchaapPermittivity is the relative permittivity of organic soil with a water content: Schaap, de Lange and Heimovaara
// 1997, theta = (0.133 sqrt(e) - 0.146)^0.885, solved for e. The formula is as in public code that cites it; the paper
// itself was not at hand. It was fitted to forest floor and stands for peat and potting mixes as the nearest published.
func SchaapPermittivity(water float64) float64 {
	root := (numeric.Pow(math.Max(0, water), 1/0.885) + 0.146) / 0.133
	return root * root
}

// Air is the water content that a probe in air shows: that of permittivity 1 on the mineral curve.
var Air = ToppWater(1)

// Water is the water content that a probe in water shows: that of permittivity 80.1, water of 20 °C, on the mineral
// curve.
var Water = ToppWater(80.1)

// Calibration is what the output of a probe is at two water contents; between and beyond them it runs straight in what
// the probe feels. Dry and Wet must differ.
type Calibration struct {
	Curve            Curve
	Dry, Wet         float64 // water content by volume
	DryOut, WetOut   float64 // output there: V, or A
	dryFeels, across float64 // what it feels when dry, and how much more when wet
}

// NewCalibration prepares a calibration.
func NewCalibration(curve Curve, dry, dryOut, wet, wetOut float64) Calibration {
	c := Calibration{Curve: curve, Dry: dry, Wet: wet, DryOut: dryOut, WetOut: wetOut, dryFeels: curve.Feels(dry)}
	c.across = curve.Feels(wet) - c.dryFeels
	return c
}

// Output is the output at a water content, V or A.
func (c *Calibration) Output(water float64) float64 {
	return c.DryOut + float64((c.Curve.Feels(water)-c.dryFeels)*((c.WetOut-c.DryOut)/c.across))
}

// Rise is how much the output changes for each unit of water content, V or A.
func (c *Calibration) Rise(water float64) float64 {
	if c.Curve == Linear {
		return (c.WetOut - c.DryOut) / c.across
	}
	const step = 1e-4
	return (c.Output(water+step) - c.Output(water-step)) / (2 * step)
}

// Hum is the amplitude of the current that mains wiring couples into a lead that lies beside it for a length, A: the
// current of a capacitor, I = 2 pi f C V, with 50 pF for each metre of cables side by side (common practice, no source)
// and the amplitude of the mains voltage, which is given as V rms.
func Hum(length, volts, hertz float64) float64 {
	const perMetre = 50e-12 // F/m
	return 2 * math.Pi * hertz * perMetre * length * volts * math.Sqrt2
}
