package hydraulics

import (
	"math"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// dip is an outlet that dips into a tank: under water it is a way in both directions, above it an opening in the air.
type dip struct {
	solver *water.Solver
	plan   pipework.Dip
	outlet water.Outlet
	opens  float64 // m³ in the tank down to which it is under water
	seals  float64 // m³ in the tank at which the water covers it again
	under  bool
}

// seal is how far above its openings the water must stand to cover an outlet that has drawn air, m (common practice, no
// source). Without it, water that comes in while it draws would have it open and shut without end.
const seal = 0.002

// openDips finds the outlets that dip into a tank and declares what is drawn back through them, m³/s.
func openDips(s *Step, spec sitefile.Tank, t *store) (dips []*dip) {
	for _, o := range s.Spec.Outlets {
		if plan, ok := s.plan.Dips[o.Name]; ok && o.Into == spec.Name {
			d := &dip{solver: s.solver, plan: plan, outlet: s.plan.Outlets[o.Name][0],
				opens: t.vessel.Volume(o.Dips.SI), seals: t.vessel.Volume(o.Dips.SI + seal)}
			d.under = t.volume > d.opens
			d.set()
			t.marks = append(t.marks, d.opens, d.seals)
			dips = append(dips, d)
		}
	}
	if dips != nil {
		name := signal.Tank(spec.Name)
		s.Volume(name.BackSiphoned(), s.Flow(name.BackSiphonage(), func() float64 {
			sum := 0.0
			for _, d := range dips {
				sum += math.Max(0, withoutRounding(-s.solver.Flow(d.plan.Link)))
			}
			return sum
		}))
	}
	return dips
}

// change works out whether the water in the tank, by its volume, has covered the outlet or left it.
func (d *dip) change(volume float64) (jump bool) {
	under := volume > d.opens && (d.under || volume >= d.seals)
	if under == d.under {
		return false
	}
	d.under = under
	d.set()
	return true
}

func (d *dip) set() {
	kv, free := 0.0, d.plan.Free
	if d.under {
		kv, free = d.plan.Kv, 0
	}
	d.solver.SetKv(d.plan.Link, kv)
	d.solver.SetCoefficient(d.outlet, free)
}
