package site

import (
	"math"
	"slices"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// dip is an outlet that dips into a tank: under water it is a way in both directions, above it an opening in the air.
type dip struct {
	plan   pipework.Dip
	outlet water.Outlet
	opens  float64 // m³ in the tank down to which it is under water
	seals  float64 // m³ in the tank at which the water covers it again
	under  bool
}

// seal is how far above its openings the water must stand to cover an outlet that has drawn air, m (common practice, no
// source). Without it, water that comes in while it draws would have it open and shut without end.
const seal = 0.002

// openDips finds the outlets that dip into a tank and declares what is drawn back through them.
func (s *Site) openDips(t *tank) {
	for _, o := range s.spec.Outlets {
		if plan, ok := s.plan.Dips[o.Name]; ok && o.Into == t.spec.Name {
			d := &dip{plan: plan, outlet: s.plan.Outlets[o.Name][0], opens: t.vessel.Volume(o.Dips.SI), seals: t.vessel.Volume(o.Dips.SI + seal)}
			d.under = t.volume > d.opens
			d.set(s.solver)
			t.marks = append(t.marks, d.opens, d.seals)
			t.dips = append(t.dips, d)
		}
	}
	if t.dips != nil {
		s.volume(t.spec.Name, "sucked", s.flow(t.spec.Name, "suck", func() float64 { return s.sucked(t) }), false)
	}
}

// look tells whether the water in the tank has covered the outlet or left it.
func (d *dip) look(t *tank, solver *water.Solver) (changed bool) {
	under := t.volume > d.opens && (d.under || t.volume >= d.seals)
	if under == d.under {
		return false
	}
	d.under = under
	d.set(solver)
	return true
}

func (d *dip) set(solver *water.Solver) {
	kv, free := 0.0, d.plan.Free
	if d.under {
		kv, free = d.plan.Kv, 0
	}
	solver.SetKv(d.plan.Link, kv)
	solver.SetCoefficient(d.outlet, free)
}

// sucked is what is drawn out of a tank through the outlets that dip into it, m³/s.
func (s *Site) sucked(t *tank) float64 {
	sum := 0.0
	for _, d := range t.dips {
		sum += math.Max(0, clean(-s.solver.Flow(d.plan.Link)))
	}
	return sum
}

// gives tells whether pipes that are fed from these supplies and tanks, or joined with them, draw water out of a tank.
func (s *Site) gives(tank string, joined []string) bool {
	for _, m := range s.plan.Mouths[tank] {
		out := s.solver.Flow(m.Link)
		if m.Inward {
			out = -out
		}
		if out > stray && slices.Contains(joined, m.Source) {
			return true
		}
	}
	return false
}

// openReturns declares what runs back into a supply: in all, and as far as water of a fluid category is drawn out of tanks
// meanwhile into the pipes of the supply, and none worse. What comes back first is what stood in the pipes; how far the
// tank's water has come behind it is not followed.
func (s *Site) openReturns(supply string, flow func() float64) {
	back := func() float64 { return math.Max(0, -flow()) }
	s.volume(supply, "returned", s.flow(supply, "return", back), false)
	joined := s.spec.JoinedWith(supply)
	worst := func() (category int) {
		for i := range s.spec.Tanks {
			if t := &s.spec.Tanks[i]; t.Category > category && s.gives(t.Name, joined) {
				category = t.Category
			}
		}
		return category
	}
	for _, category := range s.spec.CategoriesBehind(supply) {
		name := sitefile.CategoryName(category)
		s.volume(supply, "returned "+name, s.flow(supply, "return "+name, func() float64 {
			if amount := back(); amount > 0 && worst() == category {
				return amount
			}
			return 0
		}), false)
	}
}

// openBackflow offers the knobs of what is to keep water from running back: the share of its capacity with which a
// non-return valve or backflow preventer is held open.
func (s *Site) openBackflow(panel *fault.Panel) {
	hold := func(name, kind string, capacity float64) {
		link, bypass := s.plan.Links[name], s.plan.Bypasses[name]
		share := new(float64)
		s.offer(panel, fault.Knob{Device: name, Kind: kind, Name: "held open", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, share, func() {
			held := passable(*share)
			s.solver.SetKv(link, capacity*(1-held)) // forwards both together pass what it passes sound
			s.solver.SetKv(bypass, capacity*held)
			s.jump = true
		})
	}
	for _, x := range s.spec.NonReturnValves {
		hold(x.Name, "non-return valve", x.Capacity.SI)
	}
	for _, x := range s.spec.BackflowPreventers {
		hold(x.Name, "backflow preventer", x.Capacity.SI)
	}
}
