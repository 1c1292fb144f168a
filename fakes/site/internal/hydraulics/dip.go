package hydraulics

import (
	"math"
	"slices"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/signal"
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
func (t *Tank) openDips() {
	s := t.step
	for _, o := range s.Spec.Outlets {
		if plan, ok := s.plan.Dips[o.Name]; ok && o.Into == t.spec.Name {
			d := &dip{plan: plan, outlet: s.plan.Outlets[o.Name][0], opens: t.vessel.Volume(o.Dips.SI), seals: t.vessel.Volume(o.Dips.SI + seal)}
			d.under = t.volume > d.opens
			d.set(s.solver)
			t.marks = append(t.marks, d.opens, d.seals)
			t.dips = append(t.dips, d)
		}
	}
	if t.dips != nil {
		name := signal.Tank(t.spec.Name)
		s.Volume(name.Sucked(), s.Flow(name.Suck(), t.sucked))
	}
}

// change works out whether the water in the tank has covered the outlet or left it.
func (d *dip) change(t *Tank) (jump bool) {
	under := t.volume > d.opens && (d.under || t.volume >= d.seals)
	if under == d.under {
		return false
	}
	d.under = under
	d.set(t.step.solver)
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

// sucked is what is drawn out of the tank through the outlets that dip into it, m³/s.
func (t *Tank) sucked() float64 {
	sum := 0.0
	for _, d := range t.dips {
		sum += math.Max(0, withoutRounding(-t.step.solver.Flow(d.plan.Link)))
	}
	return sum
}

// givesBack tells whether pipes that are fed from these supplies and tanks, or joined with them, draw water out of a tank.
func (s *Step) givesBack(tank string, joined []string) bool {
	for _, m := range s.plan.Mouths[tank] {
		out := s.solver.Flow(m.Link)
		if m.Inward {
			out = -out
		}
		if out > rounding && slices.Contains(joined, m.Source) {
			return true
		}
	}
	return false
}
