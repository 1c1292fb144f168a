package sitefile

import (
	"fmt"

	q "ullage/harness/quantity"
)

// The least air gap over a rim, EN 1717 types AA and AB: 20 mm, and twice the bore of the inlet (not verified; the
// standard was not at hand).
const (
	leastAirGap  = 0.020 // m
	airGapByBore = 2
)

// Protects is the highest fluid category of EN 1717 that a type of backflow preventer protects against (manufacturers'
// tables of EN 1717; the standard itself was not at hand). An air gap, AA or AB, protects against category 5.
var Protects = map[string]int{"EA": 2, "EB": 2, "EC": 2, "CA": 3, "GA": 3, "BA": 4, "DC": 5}

// aboutPreventers warns of preventers that do not protect against what the use asks for.
func (s *Site) aboutPreventers() []string {
	var list []string
	for _, p := range s.BackflowPreventers {
		if Protects[p.Type] < p.Category {
			list = append(list, fmt.Sprintf("backflow preventer %q: type %s protects against fluid category %d at the most, "+
				"and the use asks for category %d of EN 1717 (2: EA, EB, EC; 3: CA, GA; 4: BA; 5: DC, or an air gap into a "+
				"tank): have a licensed person put in one that does", p.Name, p.Type, Protects[p.Type], p.Category))
		}
	}
	return list
}

// aboutAirGaps warns of inlets that hang too low over the rim.
func (s *Site) aboutAirGaps() []string {
	var list []string
	for i := range s.Outlets {
		o := &s.Outlets[i]
		if o.Into == "" || !o.AirGap.IsSet() {
			continue
		}
		least, bore := leastAirGap, s.inletBore(o)
		if airGapByBore*bore > least {
			least = airGapByBore * bore
		}
		const rounding = 1e-9 // m
		if o.AirGap.Low() < least-rounding {
			list = append(list, fmt.Sprintf("outlet %q: an air gap of %s is too small for a bore of %s: water of the tank may "+
				"be drawn back into the mains, of which a run shows nothing; expected at least %s (20 mm, and twice the "+
				"bore)", o.Name, &o.AirGap, format(bore, q.Length), format(least, q.Length)))
		}
	}
	return list
}

// inletBore is the bore of an open end, or that of the last pipe before the openings; 0 when there is none.
func (s *Site) inletBore(o *Outlet) float64 {
	if o.Bore.IsSet() {
		return o.Bore.SI
	}
	for _, p := range s.parts() {
		if p.Name != o.Name {
			continue
		}
		for from := p.inlet; from != nil; from = from.inlet {
			if pipe, ok := from.entry.(*Pipe); ok {
				return pipe.Bore.SI
			}
		}
	}
	return 0
}
