package soil

import (
	"math"
	"sync"

	"ullage/harness/numeric"
)

// VanGenuchten holds the parameters of a soil (van Genuchten 1980, eqs. 3 and 8, with m = 1 - 1/n and Mualem's exponent
// of 0.5).
type VanGenuchten struct {
	Residual     float64 // water content by volume that suction cannot reduce
	Saturated    float64 // water content by volume with every pore full
	AirEntry     float64 // m, the suction 1/alpha around which the large pores empty
	N            float64 // above 1: the larger, the more alike the pores
	Conductivity float64 // m/s, saturated
}

// share is Se^(1/m), the effective saturation to the power 1/m.
func (v VanGenuchten) share(suction float64) float64 {
	return 1 / (1 + numeric.Pow(max(0, suction)/v.AirEntry, v.N))
}

// WaterContent is that at a suction in metres, by volume.
func (v VanGenuchten) WaterContent(suction float64) float64 {
	return v.Residual + float64((v.Saturated-v.Residual)*numeric.Pow(v.share(suction), 1-1/v.N))
}

// airEnters is the suction, m, until which the conductivity falls in a straight line. Mualem's curve has an infinite
// slope at saturation for n below 2, which no clay has: the largest pores hold their water against a small suction
// (Vogel, van Genuchten and Cislerova 2001, who propose 1 to 2 cm; from memory). Coarser soils need it less, and gravel
// has lost its water there.
const airEnters = 0.02

// ConductivityAt is the hydraulic conductivity at a suction in metres, m/s.
func (v VanGenuchten) ConductivityAt(suction float64) float64 {
	straight := airEnters
	if v.N >= 2 {
		straight = min(airEnters, v.AirEntry/2)
	}
	if suction < straight {
		return v.Conductivity + float64((v.mualem(straight)-v.Conductivity)*(max(0, suction)/straight))
	}
	return v.mualem(suction)
}

func (v VanGenuchten) mualem(suction float64) float64 {
	m, x := 1-1/v.N, v.share(suction)
	through := 1 - numeric.Pow(1-x, m)
	if x < 1e-4 { // where the difference would lose its digits: the binomial series
		through = float64(m*x) * (1 + float64((1-m)/2*x)*(1+float64((2-m)/3*x)))
	}
	return v.Conductivity * float64(numeric.Pow(x, m/2)*float64(through*through))
}

// How suctions are tabulated: from the least to the most, every factor of two in equal parts. The last bits of a
// float64 then say at once where in the table it is. Below the least suction the curves run straight to saturation.
const (
	leastExponent = -10 // 2^-10 m: 1 mm
	mostExponent  = 11  // 2^11 m: drier than air of 90 % humidity leaves a soil
	octaveBits    = 6
	parts         = 1 << octaveBits // of an octave
	segments      = (mostExponent - leastExponent) * parts
	firstSegment  = (1023 + leastExponent) << octaveBits
)

// segment is a piece of the curves that runs straight in the suction.
type segment struct {
	from         float64 // m, its least suction
	water        float64 // water content there
	capacity     float64 // by which the water content falls, 1/m
	conductivity float64 // there, m/s
	falls        float64 // by which the conductivity falls, 1/s
}

// Soil holds the curves of a soil as a table. It is immutable and safe for concurrent use.
type Soil struct {
	saturated    float64
	conductivity float64
	driest       float64               // water content at the driest head
	steepest     float64               // m, head at which the water content changes most with the head
	moist, dry   float64               // water contents between which the evaporation falls off
	table        [segments + 2]segment // from no suction to the least, the octaves, and beyond the most
}

// Tabulate makes the table of a soil from its curves: water content by volume and conductivity in m/s by suction in m.
// Between two entries, of which there are 64 for each factor of two, both run straight.
func Tabulate(water, conductivity func(suction float64) float64) *Soil {
	s := &Soil{saturated: water(0), conductivity: conductivity(0), dry: water(airDry), driest: water(-driest)}
	s.moist = max(water(surfaceDries), s.dry+min(leastDrying, (s.saturated-s.dry)/2))
	from, most := 0.0, 0.0
	here := segment{water: s.saturated, conductivity: s.conductivity}
	for i := range s.table {
		s.table[i] = here
		if i > segments {
			break
		}
		octave, part := i/parts, i%parts
		to := math.Ldexp(1+float64(part)/parts, leastExponent+octave)
		next := segment{from: to, water: water(to), conductivity: conductivity(to)}
		s.table[i].capacity = (here.water - next.water) / (to - from)
		s.table[i].falls = (here.conductivity - next.conductivity) / (to - from)
		if capacity := s.table[i].capacity; capacity > most {
			most, s.steepest = capacity, -(from+to)/2
		}
		here, from = next, to
	}
	return s
}

// soils keeps the tables that have been made, by VanGenuchten: the beds of many runs are made of few soils.
var soils sync.Map

// Of is the soil with the parameters.
func Of(v VanGenuchten) *Soil {
	if known, ok := soils.Load(v); ok {
		return known.(*Soil)
	}
	made := Tabulate(v.WaterContent, v.ConductivityAt)
	soils.Store(v, made)
	return made
}

// segment is that of a suction in m.
func (s *Soil) segment(suction float64) *segment {
	i := int(math.Float64bits(suction)>>(52-octaveBits)) - firstSegment + 1
	return &s.table[max(0, min(i, segments+1))]
}

// at finds water content and conductivity at a pressure head in m, negative for a suction, each with its slope by the
// head.
func (s *Soil) at(head float64) (water, capacity, conductivity, falls float64) {
	suction := -head
	if suction <= 0 {
		return s.saturated, 0, s.conductivity, 0
	}
	p := s.segment(suction)
	beyond := suction - p.from
	return p.water - float64(p.capacity*beyond), p.capacity, p.conductivity - float64(p.falls*beyond), p.falls
}

// WaterContent is that at a pressure head in m, by volume.
func (s *Soil) WaterContent(head float64) float64 {
	water, _, _, _ := s.at(head)
	return water
}

// Driest is the least water content by volume that is known of the soil, which is that of soil in very dry air.
func (s *Soil) Driest() float64 { return s.WaterContent(driest) }

// Conductivity is that at a pressure head in m, m/s.
func (s *Soil) Conductivity(head float64) float64 {
	_, _, conductivity, _ := s.at(head)
	return conductivity
}

// follow takes a head to where a change that is right for straight curves leads on the curves as they are, and says how
// far that is. Wet of the inflection of the water content it is the head that changes, dry of it the water content:
// there the curve bends so that a change of the head would wet the soil far too much or dry it far too little (Forsyth,
// Wu and Pruess 1995, who choose by cell; from memory). No change crosses the inflection in one go, as from there
// either way none overshoots (Casulli and Zanolli 2010; from memory).
func (s *Soil) follow(head, water, capacity, change float64) (to, changed float64) {
	to = max(driest, head+change)
	if head < s.steepest && math.Abs(change) > -bends*head {
		if becomes := water + float64(capacity*change); becomes > s.driest {
			to = s.headAt(becomes)
		}
	}
	if (head-s.steepest)*(to-s.steepest) < 0 {
		to = s.steepest
	}
	return to, to - head
}

// bends is the share by which a suction may change as if the curves were straight.
const bends = 0.05

// headAt is the pressure head at a water content, by halving the table.
func (s *Soil) headAt(water float64) float64 {
	if water >= s.saturated {
		return 0
	}
	low, high := 0, segments+1 // the one begins with as much water or more, the other with less
	for high-low > 1 {
		if middle := (low + high) / 2; s.table[middle].water >= water {
			low = middle
		} else {
			high = middle
		}
	}
	p := &s.table[low]
	if p.capacity == 0 {
		return -p.from
	}
	return -p.from - (p.water-water)/p.capacity
}
