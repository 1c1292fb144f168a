package site

import (
	"ullage/fakes/contact"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// float is a float switch in its tank.
type float struct {
	contact.Float
	spec                 sitefile.Contact
	tank                 *tank
	terminal             int
	crosses              signal.Time // the level reaches the threshold
	operatedID, closedID signal.ID
	draw                 contact.Draw
	told                 harness.Pin
}

func (s *Site) openContacts(panel *fault.Panel, draw harness.Draw) {
	for _, spec := range s.spec.Contacts {
		f := &float{spec: spec, terminal: s.terminal(spec.Name), operatedID: s.held(spec.Name, "operated"), closedID: s.held(spec.Name, "closed"),
			Float: contact.Float{Operates: spec.Operates.SI, Releases: spec.Releases.SI, ClosedAtRest: spec.Normally == "closed", Lead: spec.Lead.SI}}
		f.draw = func(purpose string, ordinal uint64) float64 { return draw.Uniform(spec.Name, purpose, ordinal) }
		for _, t := range s.tanks {
			if t.spec.Name == spec.In {
				f.tank = t
			}
		}
		f.Start(f.tank.levelAt(0, 0))
		s.floats = append(s.floats, f)
		s.put(0, f.operatedID, state(f.Operated()))
		s.put(0, f.closedID, state(f.Closed()))
		turn := func() {
			f.Turn(s.now, f.draw)
			s.put(s.now, f.operatedID, state(f.Operated()))
			f.tell(s, s.now)
		}
		for _, k := range []struct {
			fault.Knob
			value *float64
		}{
			{fault.Knob{Name: "jam", Min: -1, Max: 1, Join: fault.Replace}, &f.Jam},
			{fault.Knob{Name: "lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add}, &f.Broken},
			{fault.Knob{Name: "bounce time", Dim: quantity.Duration, Max: 60, Join: fault.Largest}, &f.BounceTime},
			{fault.Knob{Name: "bounce edges", Dim: quantity.Count, Max: 1000, Join: fault.Largest}, &f.BounceEdges},
		} {
			k.Device, k.Kind = spec.Name, "contact"
			s.offer(panel, k.Knob, k.value, turn)
		}
	}
}

// aim finds when the level reaches the float's threshold within the present step.
func (f *float) aim(s *Site, from signal.Time) {
	f.crosses = signal.Never
	if s.dt > 0 {
		level, rising := f.Threshold()
		f.crosses = f.tank.passes(level, rising, from, s.t0, s.dt)
	}
}

// pass lets the float change and its contact make the edges that are due.
func (f *float) pass(s *Site, at signal.Time) {
	for f.crosses <= at {
		when := f.crosses
		f.Cross(when, f.draw)
		s.put(when, f.operatedID, state(f.Operated()))
		f.aim(s, when)
	}
	f.tell(s, at)
}

// tell makes the contact's edges that are due and tells its terminal what changed.
func (f *float) tell(s *Site, at signal.Time) {
	for f.Next() <= at {
		when := f.Next()
		if f.Advance(when) {
			s.put(when, f.closedID, state(f.Closed()))
		}
	}
	if f.terminal < 0 || s.first {
		return
	}
	if ohms := f.Ohms(); ohms != f.told.Ohms {
		f.told = contactPin(at, f.terminal, ohms)
		s.pins = append(s.pins, f.told)
	}
}

// contactPin is a contact to ground.
func contactPin(at signal.Time, terminal int, ohms float64) harness.Pin {
	return harness.Pin{At: at, Terminal: terminal, Ohms: ohms}
}
