package sitefile

import (
	"math"

	"ullage/harness/numeric"
)

// WettedDiameter is how wide the water of an emitter spreads in soil, m: 0.031 V^0.22 (K/q)^-0.17, with the water V in
// L, the saturated conductivity K in m/s and the flow q in L/h (M. Schwartzman and B. Zur, Emitter spacing and geometry
// of wetted soil volume, 1986; from memory). Flow in m3/s, water in m3.
func WettedDiameter(water, flow, conductivity float64) float64 {
	litres, litresPerHour := water*1e3, flow*3600e3
	return 0.031 * numeric.Pow(litres, 0.22) * numeric.Pow(conductivity/litresPerHour, -0.17)
}

// wettedArea is the share of a bed that the lines wet in an hour: a strip along each where the water of neighbours on a
// line meets, a circle at each emitter where it does not.
func (l *Lateral) wettedArea(b *Bed) float64 {
	if !(b.Area.SI > 0 && l.Flow.SI > 0) {
		return 1
	}
	wide := WettedDiameter(l.Flow.SI*3600, l.Flow.SI, b.Ground().Conductivity.SI)
	each := math.Pi / 4 * wide * wide
	if wide > l.Spacing.SI {
		each = wide * l.Spacing.SI
	}
	return math.Min(1, math.Max(0.01, float64(l.Lines*l.Emitters)*each/b.Area.SI))
}

// fillWetted gives what falls on a bed the share of it that it falls on.
func (s *Site) fillWetted() {
	for i := range s.Outlets {
		s.Outlets[i].Wets.Value = s.Outlets[i].Wets.Or(1)
	}
	for i := range s.Laterals {
		l, share := &s.Laterals[i], 1.0
		for k := range s.Beds {
			if s.Beds[k].Name == l.Onto {
				share = l.wettedArea(&s.Beds[k])
			}
		}
		l.Wets.Value = l.Wets.Or(share)
	}
}
