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
	slosh                *slosh // of the water under it; nil when nothing runs into its tank
	terminal             int
	crosses              signal.Time // the level reaches the threshold
	looks                signal.Time // swinging water is looked at again
	operatedID, closedID signal.ID
	levelID              signal.ID // of swinging water at the float
	shows                bool      // that it is recorded
	bobbed               bool      // swinging water has reached its threshold since it was last still
	draw                 contact.Draw
	told                 harness.Pin

	returnOhms  float64     // of the return wire that it shares with coils, Ω
	addedReturn float64     // knob: Ω besides
	shared      []*consumer // those coils

	coupled      coupling
	exchanged    float64 // knob: its lead is exchanged with that of the contact so many terminals further on
	ownsTerminal int     // by the site file
}

// kinds are the kinds of contact by their names in the site file.
var kinds = map[string]contact.Kind{sitefile.Mechanical: contact.Mechanical, sitefile.Reed: contact.Reed}

func (s *Site) openContacts(panel *fault.Panel, draw harness.Draw) {
	for _, spec := range s.spec.Contacts {
		f := &float{spec: spec, terminal: s.terminal(spec.Name), operatedID: s.held(spec.Name, "operated"), closedID: s.held(spec.Name, "closed"),
			crosses: signal.Never, looks: signal.Never, coupled: coupling{ends: signal.Never},
			Float: contact.Float{Operates: spec.Operates.SI, Releases: spec.Releases.SI, ClosedAtRest: spec.Normally == "closed",
				Kind: kinds[spec.Kind], Lead: spec.Lead.SI, Leak: spec.Leak.SI}}
		f.ownsTerminal = f.terminal
		f.draw = func(purpose string, ordinal uint64) float64 { return draw.Uniform(spec.Name, purpose, ordinal) }
		for _, t := range s.tanks {
			if t.spec.Name == spec.In {
				f.tank = t
			}
		}
		f.slosh = s.sloshOf(f.tank)
		if f.shows = f.slosh != nil && f.tank.spec.Slosh != nil; f.shows {
			f.levelID = s.record.Declare(signal.Signal{Device: spec.Name, Quantity: "level", Dim: quantity.Length, Shape: signal.Linear})
		}
		f.share(s)
		f.Start(f.tank.levelAt(0, 0))
		s.floats = append(s.floats, f)
		s.put(0, f.operatedID, state(f.Operated()))
		s.put(0, f.closedID, state(f.Closed()))
		f.offer(s, panel)
	}
	s.offerExchange(panel)
}

// offer offers the contact's knobs.
func (f *float) offer(s *Site, panel *fault.Panel) {
	turn := func() {
		f.Turn(s.now, f.draw)
		s.put(s.now, f.operatedID, state(f.Operated()))
		f.aim(s, s.now)
		f.tell(s, s.now)
	}
	for _, k := range []struct {
		fault.Knob
		value *float64
	}{
		{fault.Knob{Name: "jam", Min: -1, Max: 1, Join: fault.Replace}, &f.Jam},
		{fault.Knob{Name: "lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add}, &f.Broken},
		{fault.Knob{Name: "short", Dim: quantity.State, Max: 1, Join: fault.Largest}, &f.Shorted},
		{fault.Knob{Name: "leak", Dim: quantity.Resistance, Min: 1, Max: 1e12, Rest: 1e12, Join: fault.Smallest}, &f.Wet},
		{fault.Knob{Name: "hung", Dim: quantity.Length, Max: 5, Join: fault.Largest}, &f.Hung},
		{fault.Knob{Name: "sunk", Dim: quantity.Length, Max: 5, Join: fault.Largest}, &f.Sunk},
		{fault.Knob{Name: "inverted", Dim: quantity.State, Max: 1, Join: fault.Largest}, &f.Inverted},
		{fault.Knob{Name: "coupling", Dim: quantity.Resistance, Min: 1, Max: 1e12, Rest: 1e12, Join: fault.Smallest}, &f.coupled.ohms},
		{fault.Knob{Name: "kick", Dim: quantity.Voltage, Max: 1000, Join: fault.Largest}, &f.coupled.clamp},
		{fault.Knob{Name: "kick time", Dim: quantity.Duration, Max: 1, Join: fault.Largest}, &f.coupled.constant},
		{fault.Knob{Name: "bounce time", Dim: quantity.Duration, Max: 60, Join: fault.Largest}, &f.BounceTime},
		{fault.Knob{Name: "bounce edges", Dim: quantity.Count, Max: 1000, Join: fault.Largest}, &f.BounceEdges},
	} {
		k.Device, k.Kind = f.spec.Name, "contact"
		s.offer(panel, k.Knob, k.value, turn)
	}
	s.offer(panel, fault.Knob{Device: f.spec.Name, Kind: "contact", Name: "return", Dim: quantity.Resistance, Max: 1e3, Join: fault.Add},
		&f.addedReturn, func() { s.supplied.dirty = true })
}

// aim finds when the level reaches the float's threshold within the present step.
func (f *float) aim(s *Site, from signal.Time) {
	f.crosses, f.looks = signal.Never, signal.Never
	f.recordLevel(s, from)
	switch {
	case s.dt <= 0:
	case f.swings(from):
		f.aimSwinging(s, from)
	default:
		f.bobbed = false
		level, rising := f.Threshold()
		f.crosses = f.tank.passes(level, rising, from, s.t0, s.dt)
	}
}

// pass lets the float change and its contact make the edges that are due.
func (f *float) pass(s *Site, at signal.Time) {
	for min(f.crosses, f.looks) <= at {
		when := min(f.crosses, f.looks)
		if f.crosses == when {
			f.Cross(when, f.draw)
			s.put(when, f.operatedID, state(f.Operated()))
		}
		f.aim(s, when)
	}
	f.coupled.pass(at)
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
	f.say(s, at)
}

// say tells the terminal what is other than it was told last.
func (f *float) say(s *Site, at signal.Time) {
	if f.terminal < 0 || s.first {
		return
	}
	if pin := f.pin(s, at); pin.Terminal != f.told.Terminal || pin.Ohms != f.told.Ohms || pin.Slope != f.told.Slope || pin.Volts != f.told.VoltsAt(at) {
		f.told = pin
		s.pins = append(s.pins, pin)
	}
}

// pin is what the terminal sees of the contact: its resistance to a return that is ground, or that the currents of coils
// have lifted.
func (f *float) pin(s *Site, at signal.Time) harness.Pin {
	pin := harness.Pin{At: at, Terminal: f.terminal, Ohms: f.Ohms()}
	if pin.Ohms < openCircuit {
		pin.Ohms += f.sharedOhms()
		pin.Volts, pin.Slope = f.lifted(s, at)
	}
	if f.coupled.kicks() {
		return f.coupled.onto(pin)
	}
	return pin
}
