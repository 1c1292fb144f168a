package site

import (
	"ullage/fakes/contact"
	"ullage/fakes/soil"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// bed is a planted bed with what waters it.
type bed struct {
	soil.Bed
	spec     sitefile.Bed
	watered  []*curve // flows that fall on it
	since    signal.Time
	until    signal.Time // the straight line of the moisture holds until here
	moisture curve
	lost     curve
	dried    curve   // evaporated and taken up
	ahead    float64 // moisture at until
	losing   bool    // water drains or runs off until then
}

// straightness is how far the moisture may depart from the straight line that trace and probe follow: a twentieth of the
// least step of a 12-bit converter.
const straightness = 1e-5

func (s *Site) openBeds() {
	for _, spec := range s.spec.Beds {
		b := &bed{spec: spec, Bed: soil.Bed{Area: spec.Area.SI, Depth: spec.Depth.SI, Saturation: spec.Saturation.SI,
			Capacity: spec.FieldCapacity.SI, Wilting: spec.WiltingPoint.SI, Evaporates: spec.Evapotranspiration.SI,
			Drains: spec.Drains.SI, Water: spec.Starts.SI * spec.Depth.SI},
			moisture: newCurve(s.record, spec.Name, "moisture", quantity.Fraction),
			lost:     newCurve(s.record, spec.Name, "lost", quantity.Volume),
			dried:    newCurve(s.record, spec.Name, "evaporated", quantity.Volume)}
		for _, o := range s.spec.Outlets {
			if o.Onto == spec.Name {
				b.watered = append(b.watered, s.curveOf(o.Name+".flow"))
			}
		}
		for _, l := range s.spec.Laterals {
			if l.Onto == spec.Name {
				b.watered = append(b.watered, s.curveOf(l.Name+".flow"))
			}
		}
		s.beds = append(s.beds, b)
		b.moisture.to(0, b.Moisture())
		b.lost.to(0, 0)
		b.dried.to(0, 0)
	}
	s.lost = newCurve(s.record, "site", "lost", quantity.Volume)
	s.lost.to(0, 0)
}

// flow is the mean flow that falls on the bed between two moments of the present step.
func (b *bed) flow(s *Site, from, to signal.Time) float64 {
	sum := 0.0
	for _, c := range b.watered {
		sum += (c.at(s.share(from)) + c.at(s.share(to))) / 2
	}
	return sum
}

// begin looks ahead from a moment: until when the moisture runs straight, and where to.
func (b *bed) begin(s *Site, at signal.Time) {
	b.since = at
	b.moisture.anchor()
	b.dried.anchor()
	b.until = min(s.t1, at+signal.FromSeconds(b.Straight(b.flow(s, at, s.t1), straightness)))
	look := b.Bed
	look.Advance((b.until - at).Seconds(), b.flow(s, at, b.until))
	b.ahead = look.Moisture()
	if b.losing = look.Drained != b.Drained || look.RunOff != b.RunOff; b.losing {
		b.lost.anchor()
	}
}

// cut brings the bed to a moment.
func (b *bed) cut(s *Site, at signal.Time) {
	if at == b.since {
		return
	}
	b.Advance((at - b.since).Seconds(), b.flow(s, b.since, at))
	b.since = at
	b.moisture.to(at, b.Moisture())
	b.lost.to(at, b.Drained+b.RunOff)
	b.dried.to(at, b.Evaporated)
}

// slope is the change of the moisture per second on the present straight line.
func (b *bed) slope() float64 {
	if b.until == b.since {
		return 0
	}
	return (b.ahead - b.Moisture()) / (b.until - b.since).Seconds()
}

// probe is a soil-moisture probe at its terminal.
type probe struct {
	spec     sitefile.Probe
	bed      *bed
	terminal int
	lead     float64 // knob: Ω added in the lead
	told     harness.Pin
}

func (s *Site) openProbes(panel *fault.Panel) {
	for _, spec := range s.spec.Probes {
		p := &probe{spec: spec, terminal: s.terminal(spec.Name)}
		for _, b := range s.beds {
			if b.spec.Name == spec.In {
				p.bed = b
			}
		}
		s.probes = append(s.probes, p)
		panel.Offer(fault.Knob{Device: spec.Name, Kind: "probe", Name: "lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add,
			Set: s.later(func(v float64) {
				p.lead = v
				s.tellProbe(s.now, p)
			})})
	}
}

// pin is what the probe puts on its terminal from a moment on: a voltage that falls in a straight line with the moisture.
func (p *probe) pin(at signal.Time) harness.Pin {
	if p.lead > 1e9 {
		return harness.Open(at, p.terminal)
	}
	perMoisture := (p.spec.Wet.Volts.SI - p.spec.Dry.Volts.SI) / (p.spec.Wet.Moisture.SI - p.spec.Dry.Moisture.SI)
	moisture := p.bed.Moisture() + float64(p.bed.slope()*(at-p.bed.since).Seconds())
	return harness.Pin{At: at, Terminal: p.terminal, Ohms: p.spec.Source.SI + p.lead,
		Volts: p.spec.Dry.Volts.SI + float64((moisture-p.spec.Dry.Moisture.SI)*perMoisture),
		Slope: p.bed.slope() * perMoisture}
}

func (s *Site) tellProbe(at signal.Time, p *probe) {
	if p.terminal < 0 || s.first {
		return
	}
	pin := p.pin(at)
	if pin.Ohms == p.told.Ohms && pin.Slope == p.told.Slope && pin.Volts == p.told.VoltsAt(at) {
		return
	}
	p.told = pin
	s.pins = append(s.pins, pin)
}

// tellProbes tells the terminals of the probes in a bed that a new straight line has begun.
func (s *Site) tellProbes(at signal.Time, b *bed) {
	for _, p := range s.probes {
		if p.bed == b {
			s.tellProbe(at, p)
		}
	}
}

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
		f.Start(f.tank.volume / f.tank.area)
		s.floats = append(s.floats, f)
		s.put(0, f.operatedID, state(f.Operated()))
		s.put(0, f.closedID, state(f.Closed()))
		turn := func(knob *float64) func(signal.Time, float64) error {
			return s.later(func(v float64) {
				*knob = v
				f.Turn(s.now, f.draw)
				f.tell(s, s.now)
			})
		}
		for _, k := range []fault.Knob{
			{Name: "jam", Min: -1, Max: 1, Join: fault.Replace, Set: turn(&f.Jam)},
			{Name: "lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add, Set: turn(&f.Broken)},
			{Name: "bounce time", Dim: quantity.Duration, Max: 60, Join: fault.Largest, Set: turn(&f.BounceTime)},
			{Name: "bounce edges", Dim: quantity.Count, Max: 1000, Join: fault.Largest, Set: turn(&f.BounceEdges)},
		} {
			k.Device, k.Kind = spec.Name, "contact"
			panel.Offer(k)
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
	if pin := contactPin(at, f.terminal, true, f.Ohms()); f.terminal >= 0 && !s.first && pin.Ohms != f.told.Ohms {
		f.told = pin
		s.pins = append(s.pins, pin)
	}
}

// supplied is the controller's own supply.
type supplied struct {
	terminal int
	factor   float64 // knob
}

func (s *Site) openPower(panel *fault.Panel) {
	s.supplied = supplied{terminal: len(s.terminals) - 1, factor: 1}
	panel.Offer(fault.Knob{Device: harness.PowerName, Kind: "power", Name: "voltage factor", Max: 1.5, Rest: 1, Join: fault.Multiply,
		Set: s.later(func(v float64) {
			s.supplied.factor = v
			if !s.first {
				s.pins = append(s.pins, s.powerPin(s.now))
			}
		})})
}

// powerPin is the supply at the controller's power terminal; its source resistance is that of a short thick cable.
func (s *Site) powerPin(at signal.Time) harness.Pin {
	return harness.Pin{At: at, Terminal: s.supplied.terminal, Volts: s.spec.Controller.Supply.SI * s.supplied.factor, Ohms: 0.05}
}

// tellAll tells the controller the state of every input, power last.
func (s *Site) tellAll(at signal.Time) {
	for _, f := range s.floats {
		f.told = contactPin(at, f.terminal, true, f.Ohms())
		if f.terminal >= 0 {
			s.pins = append(s.pins, f.told)
		}
	}
	for _, m := range s.meters {
		if m.terminal >= 0 {
			s.pins = append(s.pins, contactPin(at, m.terminal, false, 1))
		}
	}
	for _, p := range s.probes {
		s.tellProbe(at, p)
	}
	s.pins = append(s.pins, s.powerPin(at))
}

// curveOf finds a curve by the name of its signal.
func (s *Site) curveOf(name string) *curve {
	for i, c := range s.curves {
		if s.names[i] == name {
			return c
		}
	}
	return nil
}
