// Package soil models a planted bed as one root zone that fills, drains and dries.
//
// Water balance of the root zone as in FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes and Smith 1998), eq. 85,
// with the stress coefficient of eq. 84; above field capacity the surplus drains with a time constant (linear reservoir);
// water beyond saturation runs off. In each regime the balance is a linear equation, solved in closed form, so that it
// conserves water to rounding whatever the step. What is not modelled: the profile within the root zone, so that water
// reaches the probe at once.
package soil

import (
	"math"

	"ullage/harness/numeric"
)

// Bed is the state of a bed. It is used from one goroutine.
type Bed struct {
	Area       float64 // m²
	Depth      float64 // m, of the root zone
	Saturation float64 // water content by volume, as the next two
	Capacity   float64 // field capacity
	Wilting    float64 // wilting point
	Depletion  float64 // share p of the water between the last two that plants take without stress, below 1
	Evaporates float64 // m/s, evapotranspiration of a well-watered bed
	Drains     float64 // s, time constant above field capacity

	Water      float64 // m, water held, as a depth
	Applied    float64 // m³ since the beginning, as the next three
	Evaporated float64
	Drained    float64 // below the roots
	RunOff     float64 // over the surface
}

// UsualDepletion is a depletion fraction for plants of no particular kind (FAO-56, table 22: 0.3 to 0.6 for most crops).
const UsualDepletion = 0.5

// Moisture is the water content by volume.
func (b *Bed) Moisture() float64 { return b.Water / b.Depth }

// regime is a range of water contents in which the balance is linear: the change per second falls by rate for each metre
// that the water content rises.
type regime struct {
	low, high float64 // m
	change    float64 // m/s, at the present water content
	rate      float64 // 1/s
	drains    bool
	floods    bool // what comes in beyond what drains and evaporates runs off
}

// regime is that of the present water content, and on a limit that of the side it is moving to.
func (b *Bed) regime(application float64) regime {
	wilting, capacity, saturation := b.Wilting*b.Depth, b.Capacity*b.Depth, b.Saturation*b.Depth
	stressed := float64((1 - b.Depletion) * (capacity - wilting)) // the range in which plants hold back
	ready := wilting + stressed
	net := application - b.Evaporates
	below := func(w, limit, change float64) bool { return w < limit || w == limit && change <= 0 }
	switch w := b.Water; {
	case below(w, wilting, application):
		return regime{low: math.Inf(-1), high: wilting, change: application}
	case below(w, ready, net):
		return regime{low: wilting, high: ready, rate: b.Evaporates / stressed,
			change: application - float64(b.Evaporates*((w-wilting)/stressed))}
	case below(w, capacity, net):
		return regime{low: ready, high: capacity, change: net}
	default:
		r := regime{low: capacity, high: saturation, rate: 1 / b.Drains, change: net - (w-capacity)/b.Drains, drains: true}
		r.floods = w >= saturation && r.change > 0
		return r
	}
}

// limit is where the water content is heading to, and after how many seconds it is there; +Inf when it never is.
func (r regime) limit(w float64) (level, after float64) {
	level = r.high
	if r.change < 0 {
		level = r.low
	}
	there := r.change - float64(r.rate*(level-w)) // the change at the limit
	switch {
	case r.floods || level == w || math.IsInf(level, 0) || r.change == 0 || there == 0 || (there > 0) != (r.change > 0):
		return level, math.Inf(1)
	case r.rate == 0:
		return level, (level - w) / r.change
	}
	return level, (level - w) / there * logShare(r.rate*(level-w)/there)
}

// Advance lets seconds pass while flow m³/s of water falls on the bed.
func (b *Bed) Advance(seconds, flow float64) {
	application := flow / b.Area
	b.Applied += float64(flow * seconds)
	for seconds > 0 {
		r := b.regime(application)
		level, after := r.limit(b.Water)
		if took := math.Min(seconds, after); took < after {
			b.pass(took, application, r, b.after(took, r))
		} else {
			b.pass(took, application, r, level) // on the limit, not beside it
		}
		seconds -= math.Min(seconds, after)
	}
}

// after is the water content when seconds have passed within a regime.
func (b *Bed) after(seconds float64, r regime) float64 {
	switch {
	case r.floods:
		return b.Water
	case r.rate == 0:
		return b.Water + float64(r.change*seconds)
	}
	return b.Water + float64(r.change*seconds*expShare(r.rate*seconds))
}

// few is the size below which a power series gives what the closed form would lose to rounding.
const few = 1e-3

// expShare is (1 - e^-x) / x, the share of a change that is left over when its rate falls off.
func expShare(x float64) float64 {
	if x < few {
		return 1 - x/2 + float64(x*x)/6 - float64(x*x*x)/24 + float64(x*x*x*x)/120
	}
	return (1 - numeric.Exp(-x)) / x
}

// logShare is ln(1 + u) / u.
func logShare(u float64) float64 {
	if math.Abs(u) < few {
		return 1 - u/2 + float64(u*u)/3 - float64(u*u*u)/4 + float64(u*u*u*u)/5 - float64(u*u*u*u*u)/6
	}
	return numeric.Log(1+u) / u
}

// pass takes the bed to a water content within one regime; what it gains and loses is booked so that the balance closes.
func (b *Bed) pass(seconds, application float64, r regime, water float64) {
	gone := float64(application*seconds) - (water - b.Water)
	b.Water = water
	if !r.drains {
		b.Evaporated += float64(gone * b.Area)
		return
	}
	evaporated := b.Evaporates * seconds
	b.Evaporated += float64(evaporated * b.Area)
	if r.floods {
		b.RunOff += float64(r.change * seconds * b.Area)
		gone -= float64(r.change * seconds)
	}
	b.Drained += float64((gone - evaporated) * b.Area)
}

// Straight is the time in which the water content departs from a straight line by no more than tolerance (a water
// content by volume), from the present on with the present flow; at least a millisecond.
func (b *Bed) Straight(flow, tolerance float64) float64 {
	r := b.regime(flow / b.Area)
	_, span := r.limit(b.Water)
	bend := math.Abs(r.rate * r.change) // second derivative at the start, its largest
	if bend > 0 && !r.floods {
		span = math.Min(span, math.Sqrt(8*tolerance*b.Depth/bend))
	}
	return math.Max(span, 1e-3)
}
