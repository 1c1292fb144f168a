package sitefile

import (
	"fmt"
	"math"
	"slices"

	q "ullage/harness/quantity"
)

// Warnings says what of a site is allowed and hardly meant, one line each, in the order of the file. The site's defaults
// must have been filled in.
func (s *Site) Warnings() []string {
	return slices.Concat(s.aboutPreventers(), s.aboutDiaphragms(), s.aboutAirGaps())
}

// aboutDiaphragms warns of valves that are not said to need a difference of pressure, or get too little.
func (s *Site) aboutDiaphragms() []string {
	var list []string
	for i := range s.Valves {
		v := &s.Valves[i]
		warn := func(text string, args ...any) {
			list = append(list, fmt.Sprintf("valve %q: ", v.Name)+fmt.Sprintf(text, args...))
		}
		if v.Operates == "" && v.Characteristic == Diaphragm {
			warn("a diaphragm valve without operates counts as direct, which opens and shuts at any pressure; expected "+
				"operates: pilot, with opens-at and seats-at from its maker's sheet (%s are usual), or operates: direct",
				usualDifferentials)
		}
		if v.Operates != Pilot {
			continue
		}
		for _, given := range []struct {
			key   string
			value q.PressureValue
		}{{"opens-at", v.OpensAt}, {"seats-at", v.SeatsAt}} {
			if given.value.SI < DefaultDifferential {
				warn("%s: %s is little for a pilot-operated valve; expected %s, or the figure of its maker's sheet",
					given.key, &given.value, usualDifferentials)
			}
		}
		if stands := s.stands(v); stands < math.Max(v.OpensAt.SI, DefaultDifferential) {
			warn("no more than %s ever stands across it, and its disc asks for %s to lift and %s to seat; expected more "+
				"pressure, or a valve that needs none (operates: direct)", q.Format(math.Max(0, stands), q.Pressure),
				&v.OpensAt, &v.SeatsAt)
		}
	}
	return list
}

// usualDifferentials are those of the trade (manufacturers' tables of pilot-operated diaphragm valves).
const usualDifferentials = "0.3 to 0.5 bar"

// metre is the pressure of a metre of water at 20 °C, Pa.
const metre = 998.2 * 9.80665

// stands is the highest differential that water at rest puts across a valve: what feeds it at its highest, against the
// lowest opening behind it, Pa. A pump before it is taken at its highest head, and a regulator at its setting.
func (s *Site) stands(v *Valve) float64 {
	before := s.standsAt(v.From)
	behind := math.Inf(1)
	for _, p := range s.parts() {
		_, lateral := p.entry.(*Lateral)
		_, outlet := p.entry.(*Outlet)
		if (lateral || outlet) && p.behind(v.Name) {
			behind = math.Min(behind, p.height.SI)
		}
	}
	if math.IsInf(behind, 1) {
		behind = v.Height.SI
	}
	return float64((before - math.Max(behind, v.Height.SI)) * metre)
}

// behind reports whether a part is fed by way of another.
func (p *part) behind(name string) bool {
	for from := p.inlet; from != nil; from = from.inlet {
		if from.Name == name {
			return true
		}
	}
	return false
}

// standsAt is the highest head of water at rest at the outlet of a part, m above the datum.
func (s *Site) standsAt(name string) float64 {
	for _, p := range s.parts() {
		if p.Name != name {
			continue
		}
		switch x := p.entry.(type) {
		case *Supply:
			share := 1.0
			for i, d := range x.Daily {
				if i == 0 || d.Share.SI > share {
					share = d.Share.SI
				}
			}
			return float64(x.Static.High()*share)/metre + x.Height.SI
		case *Tank:
			return x.Floor.SI + x.Rim.SI
		case *Pump:
			return s.standsAt(x.From) + x.Curve[0].Head.SI
		case *Regulator:
			return math.Min(s.standsAt(x.From), x.Sets.High()/metre+x.Height.SI)
		}
		if p.place != nil {
			return s.standsAt(p.place.From)
		}
	}
	return math.Inf(1)
}
