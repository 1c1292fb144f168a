package hydraulics

import (
	"math"

	"ullage/harness/numeric"
	"ullage/harness/sitefile"
)

// rangeability of an equal-percentage valve: ratio of its largest to its smallest controllable capacity (50 is usual
// for control valves; from memory of IEC 60534-2-4).
const rangeability = 50

// throttling is the exponent of the diaphragm's characteristic 1-(1-x)^n: five sixths of the capacity at 40 % of the
// stroke, as a diaphragm throttles only near its seat (common practice, no source).
const throttling = 3.5

// characteristic is the share of the capacity at a share of the stroke.
func characteristic(c sitefile.Characteristic) func(float64) float64 {
	switch c {
	case sitefile.QuickOpening:
		return math.Sqrt
	case sitefile.EqualPercentage:
		log := numeric.Log(rangeability)
		return func(x float64) float64 { return (numeric.Exp(log*x) - 1) / (rangeability - 1) }
	case sitefile.Diaphragm:
		power := numeric.NewPower(throttling)
		return func(x float64) float64 {
			if x >= 1 {
				return 1
			}
			return 1 - power.Of(1-x)
		}
	}
	return func(x float64) float64 { return x }
}

// debris lies on the seat of a valve until the water has carried it away.
type debris struct {
	opening float64 // knob: share of the stroke at which it holds the disc; 0: none
	strokes float64 // knob: so often the disc comes down on it
	flushed int     // how often the water has lifted the disc off it
}

// holds is the share of the stroke below which the disc does not come.
func (b *debris) holds() float64 {
	if float64(b.flushed) >= b.strokes {
		return 0
	}
	return b.opening
}

// lift notes that the disc leaves the debris and the water rushes over it.
func (b *debris) lift(disc, target float64) {
	if held := b.holds(); held > 0 && disc == held && target > disc {
		b.flushed++
	}
}
