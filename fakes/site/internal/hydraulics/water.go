// Package hydraulics is the water of a simulated site as it moves: the network of pipes, the tanks in it, and every
// device that water runs through. It is no API: fakes/site puts it together with soil and wires.
//
// How it moves. The network is solved at the two ends of a step, the tanks within it implicitly by the trapezoidal
// rule; between the ends every flow runs straight, and every volume is the exact integral of that straight line, so
// that levels and recorded flows balance to rounding. A third solve in the middle of the step says how far the truth is
// from the straight line and so how long the step may be. Where the rule would overshoot a tank that is nearly in
// balance, the step is taken by the backward Euler rule, which cannot.
//
// A step stays as it is until an input changes: asking for a moment within it interpolates and alters nothing. Levels
// at which a contact changes are found on the parabola to the nanosecond.
//
// How it is built. Step knows the numbers that run through a step and the roles that a device may have in it
// (roles.go); each device is one file and has the roles that it needs; Water is the table of them all.
package hydraulics

import (
	"fmt"

	"ullage/fakes/pipework"
	"ullage/fakes/site/internal/device"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// The roles of each device, held by the compiler: Add finds them by their methods.
var (
	_ = []changer{(*supply)(nil), (*Valve)(nil), (*filter)(nil), (*Pump)(nil), (*Tank)(nil), (*store)(nil),
		(*content)(nil)}
	_ = []reviewer{(*content)(nil)}
	_ = []mover{(*supply)(nil), (*Valve)(nil), (*filter)(nil)}
	_ = []limiter{(*content)(nil), (*supply)(nil), (*Valve)(nil), (*Pump)(nil), (*Tank)(nil)}
	_ = []decider{(*Valve)(nil)}
	_ = []settler{(*Valve)(nil), (*Pump)(nil), (*crest)(nil)}
	_ = []bounder{(*Valve)(nil), (*Slosh)(nil)}
	_ = []approximation{(*filter)(nil)}
	_ = []recorder{(*Valve)(nil), (*filter)(nil)}
	_ = []Follower{(*sprinkler)(nil)}
)

// Water is the water of a site. It is used for one run, from one goroutine.
type Water struct {
	*Step
	supplies   map[string]*supply
	valves     map[string]*Valve
	pumps      []*Pump
	tanks      []*Tank
	sprinklers []*sprinkler
}

// New draws the water of a site as a network, and refuses one that cannot be solved.
func New(spec *sitefile.Site) (*Water, error) {
	plan, err := pipework.New(spec)
	if err != nil {
		return nil, err
	}
	solver, err := plan.Network.Compile()
	if err != nil {
		return nil, fmt.Errorf("site %q: %w", spec.Name, err)
	}
	n := network{Spec: spec, plan: plan, solver: solver,
		lowest: -pipework.Suction(spec) * pipework.PerMetre, flows: map[string]*device.Line{}}
	s := &Step{network: n, jump: true}
	s.jumps, s.turns = func(signal.Time) { s.jump = true }, func(signal.Time) { s.turn = true }
	return &Water{Step: s, supplies: map[string]*supply{}, valves: map[string]*Valve{}}, nil
}

// OpenSupplies opens the water supplies.
func (w *Water) OpenSupplies() {
	for _, x := range w.Spec.Supplies {
		w.supplies[x.Name] = openSupply(w.Step, x)
	}
}

// OpenValve opens a valve with its actuator.
func (w *Water) OpenValve(spec sitefile.Valve, actuator Actuator) *Valve {
	v := openValve(w.Step, spec, actuator)
	w.valves[spec.Name] = v
	return v
}

// OpenPipes opens everything that water runs through and that nothing moves, once all valves are open.
func (w *Water) OpenPipes() {
	linkHammers(w)
	for _, x := range w.Spec.Filters {
		openFilter(w.Step, x)
	}
	for _, x := range w.Spec.Pipes {
		openPipe(w.Step, x)
	}
	for _, x := range w.Spec.Filters {
		openBehind(w.Step, x.Name)
	}
	for _, x := range w.Spec.Regulators {
		openRegulator(w.Step, x)
	}
	for _, x := range w.Spec.Throttles {
		openThrottle(w.Step, x)
	}
}

// OpenPump opens a pump.
func (w *Water) OpenPump(spec sitefile.Pump) *Pump {
	p := openPump(w.Step, spec, w.supplies[w.plan.Source(spec.From)])
	w.pumps = append(w.pumps, p)
	return p
}

// OpenOutlets opens what lets water out of the pipes.
func (w *Water) OpenOutlets() {
	for _, x := range w.Spec.Outlets {
		if s := openOutlet(w.Step, x); s != nil {
			w.sprinklers = append(w.sprinklers, s)
		}
	}
	for _, x := range w.Spec.Laterals {
		openLateral(w.Step, x)
	}
}

// OpenTanks opens the tanks and the pressure vessels of pumps, once all pumps are open.
func (w *Water) OpenTanks() {
	for _, x := range w.Spec.Tanks {
		t := openTank(w.Step, x)
		w.tanks = append(w.tanks, t)
		for _, p := range w.pumps {
			if w.plan.Source(p.spec.From) == x.Name {
				p.drawsFrom(&t.store)
			}
		}
	}
	for _, p := range w.pumps {
		p.openVessel()
	}
	for _, l := range w.plan.Lines {
		openContent(w.Step, l, w.valves[l.Gate])
	}
}

// OpenChecks opens what is to keep water from running back.
func (w *Water) OpenChecks() {
	for _, x := range w.Spec.NonReturnValves {
		openCheck(w.Step, x.Name, "non-return valve", x.Capacity.SI)
	}
	for _, x := range w.Spec.BackflowPreventers {
		openCheck(w.Step, x.Name, "backflow preventer", x.Capacity.SI)
	}
}

// OpenSloshes opens the sloshing of the water in the tanks, once all outlets are open.
func (w *Water) OpenSloshes() {
	for _, t := range w.tanks {
		t.slosh = openSlosh(w.Step, t.spec, &t.store)
	}
}

// Tank is a tank by its name; nil when there is none.
func (w *Water) Tank(name string) *Tank {
	for _, t := range w.tanks {
		if t.spec.Name == name {
			return t
		}
	}
	return nil
}

// pump is a pump by its name.
func (w *Water) pump(name string) *Pump {
	for _, p := range w.pumps {
		if p.spec.Name == name {
			return p
		}
	}
	return nil
}

// Link reads the flow through a part by its name, m³/s.
func (w *Water) Link(name string) func() float64 { return w.Through(w.plan.Links[name]) }

// Next is the next moment at which the water has something new by itself.
func (w *Water) Next() signal.Time {
	next := w.t1
	for _, s := range w.sprinklers {
		next = min(next, s.turns)
	}
	return next
}

// Pass makes the changes within a step that are due at a moment.
func (w *Water) Pass(at signal.Time) {
	for _, s := range w.sprinklers {
		s.pass(at)
	}
}

// Due reports whether a new step must begin at a moment.
func (w *Water) Due(at signal.Time) bool { return at >= w.t1 || w.Changed() }
