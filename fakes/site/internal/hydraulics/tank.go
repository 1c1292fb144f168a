package hydraulics

import (
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Tank is an open tank.
type Tank struct {
	store
	step  *Step
	spec  sitefile.Tank
	dips  []*dip
	draws draws
	slosh *Slosh // nil when nothing runs into it
}

// openTank declares a tank and offers its knobs. Pumps that draw from it set their marks in it.
func openTank(s *Step, spec sitefile.Tank) *Tank {
	name, vessel := signal.Tank(spec.Name), s.plan.Vessels[spec.Name]
	t := &Tank{store: newStore(s.plan.Nodes[spec.Name], vessel), step: s, spec: spec}
	_, upright := vessel.(water.Upright)
	t.curved = !upright
	t.level = s.Line(name.Level())
	t.holds(vessel.Volume(spec.Starts.SI))
	t.mark(append(water.Kinks(vessel), spec.Rim.SI)...)
	s.stores = append(s.stores, &t.store)
	s.Add(t)
	t.draws = newDraws(s.Spec, spec)
	s.Flow(name.Draw(), func() float64 { return t.taken(s.inflow(&t.store)) })
	t.routine = t.draws.flow(0)
	t.mark(openOverflows(s, spec)...)
	openLeak(s, spec)
	t.dips = openDips(s, spec, &t.store)
	s.Flow(name.Rain(), func() float64 { return t.rain })
	offer := s.Knobs(spec.Name, "tank", s.jumps)
	offer(fault.Knob{Name: "draw", Dim: quantity.Flow, Max: 0.1, Join: fault.Add}, &t.draw)
	offer(fault.Knob{Name: "inflow", Dim: quantity.Flow, Max: 0.1, Join: fault.Add}, &t.rain)
	return t
}

// change works out whether the tank has run empty, whether its outlets are under water, and what is drawn at this time
// of day.
func (t *Tank) change(at signal.Time) (jump bool) {
	jump = t.store.change(at)
	for _, d := range t.dips {
		jump = d.change(t.volume) || jump
	}
	if t.draws.changes <= at {
		before := t.routine
		t.routine = t.draws.flow(at)
		jump = t.routine != before || jump
	}
	return jump
}

func (t *Tank) ends() signal.Time { return t.draws.changes }

// Mean is the level of still water at a moment of the present step, m, and how fast it rises, m/s.
func (t *Tank) Mean(at signal.Time) (level, rises float64) {
	share := t.step.Share(at)
	return t.levelAt(share, t.step.dt), (t.start + float64((t.end-t.start)*share)) / t.area
}

// Passes finds the first moment after `from` at which the level has come to or passed `level` in the wanted direction,
// within the present step; Never when it does not.
func (t *Tank) Passes(level float64, rising bool, from signal.Time) signal.Time {
	return t.meets(t.vessel.Volume(level), rising, from, t.step.t0, t.step.dt)
}

// Slosh is the sloshing of its water; nil when nothing runs into the tank.
func (t *Tank) Slosh() *Slosh { return t.slosh }

// ShowsSlosh reports whether the site file says how its water sloshes.
func (t *Tank) ShowsSlosh() bool { return t.slosh != nil && t.spec.Slosh != nil }
