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

// characteristic relates the share of the capacity to the share of the stroke, one way and the other.
type characteristic struct{ capacity, stroke func(float64) float64 }

func characteristicOf(c sitefile.Characteristic) characteristic {
	switch c {
	case sitefile.QuickOpening:
		return characteristic{math.Sqrt, func(share float64) float64 { return share * share }}
	case sitefile.EqualPercentage:
		log := numeric.Log(rangeability)
		return characteristic{
			func(x float64) float64 { return (numeric.Exp(log*x) - 1) / (rangeability - 1) },
			func(share float64) float64 { return numeric.Log(1+float64(share*(rangeability-1))) / log },
		}
	case sitefile.Diaphragm:
		return characteristic{oneLess(numeric.NewPower(throttling)), oneLess(numeric.NewPower(1 / throttling))}
	}
	same := func(x float64) float64 { return x }
	return characteristic{same, same}
}

// oneLess is 1-(1-x)^n, which a power of 1/n turns round.
func oneLess(power *numeric.Power) func(float64) float64 {
	return func(x float64) float64 {
		if x >= 1 {
			return 1
		}
		return 1 - power.Of(1-x)
	}
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
