// Package soil models a planted bed as one root zone that fills, drains and dries.
//
// Water balance of the root zone as in FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes and Smith 1998), eq. 85,
// with the stress coefficient of eq. 84 and a depletion fraction p of 0.5; above field capacity the surplus drains with a
// time constant (linear reservoir); water beyond saturation runs off. In each regime the balance is a linear equation,
// solved in closed form, so that it conserves water to rounding whatever the step. What is not modelled: the profile
// within the root zone, so that water reaches the probe at once.
package soil

import (
	"math"

	"ullage/fakes/numeric"
)

// Bed is the state of a bed. It is used from one goroutine.
type Bed struct {
	Area       float64 // m²
	Depth      float64 // m, of the root zone
	Saturation float64 // water content by volume, as the next two
	Capacity   float64 // field capacity
	Wilting    float64 // wilting point
	Evaporates float64 // m/s, evapotranspiration of a well-watered bed
	Drains     float64 // s, time constant above field capacity

	Water      float64 // m, water held, as a depth
	Applied    float64 // m³ since the beginning, as the next three
	Evaporated float64
	Drained    float64 // below the roots
	RunOff     float64 // over the surface
}

// depletion is the fraction p of the available water that plants take without stress (FAO-56, table 22: 0.3 to 0.6 for
// most crops).
const depletion = 0.5

// Moisture is the water content by volume.
func (b *Bed) Moisture() float64 { return b.Water / b.Depth }

// regime is a range of water contents in which the balance is dW/dt = gain - rate W.
type regime struct {
	low, high  float64 // m
	gain, rate float64
	stress     bool
	drains     bool
}

// regime is that of the present water content, and of the side it is moving to when it stands on a limit.
func (b *Bed) regime(application float64) regime {
	capacity, wilting := b.Capacity*b.Depth, b.Wilting*b.Depth
	ready := wilting + float64((1-depletion)*(capacity-wilting))
	saturation := b.Saturation * b.Depth
	stressRate := b.Evaporates / (ready - wilting)
	rising := application > b.Evaporates
	switch w := b.Water; {
	case w < ready || w == ready && !rising:
		return regime{low: math.Inf(-1), high: ready, gain: application + float64(stressRate*wilting), rate: stressRate, stress: true}
	case w < capacity || w == capacity && !rising:
		return regime{low: ready, high: capacity, gain: application - b.Evaporates}
	}
	return regime{low: capacity, high: saturation, gain: application - b.Evaporates + float64(capacity/b.Drains), rate: 1 / b.Drains, drains: true}
}

// Advance lets seconds pass while flow m³/s of water falls on the bed.
func (b *Bed) Advance(seconds, flow float64) {
	application := flow / b.Area
	b.Applied += float64(flow * seconds)
	for seconds > 0 {
		r := b.regime(application)
		if b.Water >= b.Saturation*b.Depth && application > b.Evaporates+float64((b.Water-b.Capacity*b.Depth)/b.Drains) {
			b.flood(seconds, application)
			return
		}
		took := math.Min(seconds, r.reaches(b.Water))
		b.pass(took, application, r)
		seconds -= took
	}
}

// flood lets time pass on a saturated bed: what neither evaporates nor drains runs off.
func (b *Bed) flood(seconds, application float64) {
	drains := (b.Water - float64(b.Capacity*b.Depth)) / b.Drains
	b.Evaporated += float64(b.Evaporates * seconds * b.Area)
	b.Drained += float64(drains * seconds * b.Area)
	b.RunOff += float64((application - b.Evaporates - drains) * seconds * b.Area)
}

// reaches is the time until the water content leaves the regime, +Inf when it stays.
func (r regime) reaches(w float64) float64 {
	change := r.gain - float64(r.rate*w)
	limit := r.high
	if change < 0 {
		limit = r.low
	}
	if change == 0 || math.IsInf(limit, 0) {
		return math.Inf(1)
	}
	if r.rate == 0 {
		return (limit - w) / change
	}
	rest := r.gain/r.rate - limit // distance of the equilibrium beyond the limit
	if rest == 0 || (rest > 0) != (change > 0) {
		return math.Inf(1)
	}
	return numeric.Log((r.gain/r.rate-w)/rest) / r.rate
}

// pass moves within one regime in closed form; what it gains and loses is booked so that the balance closes exactly.
func (b *Bed) pass(seconds, application float64, r regime) {
	before := b.Water
	if r.rate == 0 {
		b.Water += float64(r.gain * seconds)
	} else {
		equilibrium := r.gain / r.rate
		b.Water = equilibrium + float64((before-equilibrium)*numeric.Exp(-r.rate*seconds))
	}
	if seconds >= r.reaches(before)*(1-1e-12) { // land on the limit, not beside it
		if b.Water-before > 0 {
			b.Water = r.high
		} else {
			b.Water = r.low
		}
	}
	gone := float64(application*seconds) - (b.Water - before)
	switch {
	case r.drains:
		evaporated := b.Evaporates * seconds
		b.Evaporated += float64(evaporated * b.Area)
		b.Drained += float64((gone - evaporated) * b.Area)
	default:
		b.Evaporated += float64(gone * b.Area)
	}
}

// Straight is the time in which the water content departs from a straight line by no more than tolerance (a water
// content by volume), from the present on with the present flow.
func (b *Bed) Straight(flow, tolerance float64) float64 {
	r := b.regime(flow / b.Area)
	span := r.reaches(b.Water)
	bend := math.Abs(r.rate * (r.gain - float64(r.rate*b.Water))) // second derivative at the start, its largest
	if bend > 0 {
		span = math.Min(span, math.Sqrt(8*tolerance*b.Depth/bend))
	}
	return math.Max(span, 1e-3)
}
