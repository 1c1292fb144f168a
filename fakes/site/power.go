package site

import (
	"math"

	"ullage/fakes/electric"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// supplied is the electric net of the site: the source of the controller's supply, what it feeds, and the voltage that is
// left at the controller's power terminal. Between two moments at which it is worked out that voltage runs straight.
type supplied struct {
	terminal int
	spec     *sitefile.Power // nil: nothing pulls the supply down
	battery  *electric.Battery
	farads   float64

	factor, more, charge float64 // knobs
	charged              float64 // the knob charge as it was worked out with last

	commonOpen float64 // knob: the common wire of all coils is open: above 0
	consumers  []*consumer
	actuators  []*drive        // valves of which more moves than a spring
	drawn      float64         // C, taken from the battery
	amps       float64         // A, from the source, at since
	source     electric.Source // as it was worked out last, with its load
	load       electric.Load
	course     electric.FirstOrder
	since      signal.Time
	ends       signal.Time // of the straight piece; Never
	pin        harness.Pin // as it was told last
	dirty      bool        // something has changed since it was worked out
	left       curve       // of a battery: share of its charge
}

// leadOhms is the resistance of a supply that nothing pulls down, with its lead, Ω (common practice, no source).
const leadOhms = 0.05

func (s *Site) openPower(panel *fault.Panel) {
	p := &s.supplied
	p.terminal, p.spec, p.ends, p.dirty = len(s.terminals)-1, s.spec.Power, signal.Never, true
	knob := func(name string, dim quantity.Dimension, max, rest float64, join fault.Join, value *float64) {
		s.offer(panel, fault.Knob{Device: harness.PowerName, Kind: "power", Name: name, Dim: dim, Max: max, Rest: rest, Join: join},
			value, func() { p.dirty = true })
	}
	knob("voltage factor", quantity.None, 1.5, 1, fault.Multiply, &p.factor)
	s.offerCommon(panel)
	p.charge, p.charged = 1, 1
	if p.spec == nil {
		return
	}
	knob("internal resistance", quantity.Resistance, 1000, 0, fault.Add, &p.more)
	p.farads = p.spec.Capacitor.SI
	if b := p.spec.Battery; b != nil {
		knob("charge", quantity.Fraction, 1, 1, fault.Smallest, &p.charge)
		p.battery = &electric.Battery{Capacity: b.Capacity.SI, Full: s.spec.Controller.Supply.SI, Flat: b.Flat.SI, Ohms: p.spec.InternalResistance.SI}
		p.drawn = p.battery.Capacity * (1 - b.Starts.SI)
		p.left = newCurve(s.record, harness.PowerName, "charge", quantity.Fraction)
		p.left.to(0, p.share(p.drawn))
	}
	p.course.X0 = p.sourceAfter(s, p.drawn).Loaded(p.loads())
}

// consumes hangs a device on the supply. Its current is recorded where the site says what its supply is.
func (s *Site) consumes(name string, c *consumer, told bool) {
	s.supplied.consumers = append(s.supplied.consumers, c)
	c.name = name
	c.pin.Ohms = math.Inf(1)
	c.asked, c.commonOpen, c.supply = c.pin, &s.supplied.commonOpen, s.spec.Controller.Supply.SI
	if c.told = told || s.spec.Power != nil; c.told {
		c.currentID = s.record.Declare(signal.Signal{Device: name, Quantity: "current", Dim: quantity.Current, Shape: signal.Held})
		s.put(0, c.currentID, 0)
	}
}

// share is what is left of the battery's charge when so much of it has been drawn.
func (p *supplied) share(drawn float64) float64 {
	return math.Min(p.charge, math.Max(0, 1-drawn/p.battery.Capacity))
}

// sourceAfter is the source as it is when so much charge has been drawn.
func (p *supplied) sourceAfter(s *Site, drawn float64) electric.Source {
	var made electric.Source
	switch {
	case p.battery != nil:
		made = p.battery.With(p.share(drawn))
	case p.spec != nil:
		made = electric.Source{EMF: s.spec.Controller.Supply.SI, Ohms: p.spec.InternalResistance.SI}
	default:
		made.EMF = s.spec.Controller.Supply.SI
	}
	made.EMF *= p.factor
	made.Ohms += p.more
	return made
}

// loads is everything that hangs on the supply.
func (p *supplied) loads() electric.Load {
	if p.spec == nil {
		return electric.Load{} // which nothing pulls down
	}
	l := electric.Load{Amps: p.spec.ControllerDraws.SI}
	for _, c := range p.consumers {
		l.Siemens += c.siemens()
	}
	return l
}

// energise works the supply out at a moment: what is left of it for the controller and each coil, and what they do with it.
func (s *Site) energise(at signal.Time) {
	p := &s.supplied
	volts := s.spend(at)
	for range maxSettling {
		p.dirty = false
		s.shareReturns()
		p.source, p.load = p.sourceAfter(s, p.drawn), p.loads()
		volts = p.settle(volts)
		changed := false
		for _, c := range p.consumers {
			changed = c.feel(at, volts) || changed
		}
		if !changed && !p.dirty {
			break
		}
	}
	s.piece(at, volts)
	for _, c := range p.consumers {
		if c.fed {
			s.recordCurrent(at, c, volts*c.siemens())
		}
	}
	for _, d := range p.actuators {
		if d.ac != nil {
			d.ac.warms(at, volts*d.winding())
		}
	}
	s.tellPower(at)
	s.sayLifted(at)
	s.sayStarved(at)
}

// maxSettling is how often coils and supply may answer each other at one moment. Every coil that lets go adds to the load
// or leaves it, so that it takes no more rounds than there are coils.
const maxSettling = 32

// settle gives the voltage under a load, after it was volts: a capacitor keeps it for now.
func (p *supplied) settle(volts float64) float64 {
	source, load := p.source, p.load
	if p.farads == 0 || source.Ohms == 0 && source.EMF >= volts {
		volts = source.Loaded(load)
		p.course = electric.FirstOrder{X0: volts}
		p.amps = p.ampsAt(volts)
		return volts
	}
	volts = math.Max(0, volts)
	p.course = source.Buffered(p.farads, volts, load)
	if volts == 0 && p.course.A <= 0 || p.course.Settled(stillVolts) {
		p.course = electric.FirstOrder{X0: volts}
	}
	p.amps = p.ampsAt(volts)
	return volts
}

// spend ends the straight piece at a moment: it takes the charge that has flown from the battery and returns the voltage.
func (s *Site) spend(at signal.Time) float64 {
	p := &s.supplied
	volts := p.course.At((at - p.since).Seconds())
	if p.battery != nil {
		if at > p.since {
			p.drawn += float64((p.amps + p.ampsAt(volts)) / 2 * (at - p.since).Seconds())
		}
		turned := p.charge // jumps where the knob was turned
		p.charge = p.charged
		p.left.to(at, p.share(p.drawn))
		p.charge, p.charged = turned, turned
		p.left.to(at, p.share(p.drawn))
		p.left.anchor() // a pulse may take charge at any time from here on
	}
	return volts
}

// ampsAt is what the source gives while the voltage at the controller is volts.
func (p *supplied) ampsAt(volts float64) float64 {
	switch {
	case p.farads == 0 || p.source.Ohms == 0 && p.source.EMF >= volts:
		return p.load.Draws(volts)
	case p.source.EMF <= volts:
		return 0
	}
	return (p.source.EMF - volts) / p.source.Ohms
}

// nextPower is when supply, plungers, latches or the temperatures of coils have something new.
func (s *Site) nextPower() signal.Time {
	next := s.supplied.ends
	for _, d := range s.supplied.actuators {
		next = min(next, d.due)
		if d.ac != nil {
			next = min(next, d.ac.until)
		}
	}
	return next
}

// passPower does what is due there.
func (s *Site) passPower(at signal.Time) {
	p := &s.supplied
	for _, d := range p.actuators {
		if d.due <= at {
			s.arrive(d, at)
		}
		if d.ac != nil && d.ac.until <= at {
			d.ac.warms(at, d.winding()*p.course.At((at-p.since).Seconds()))
		}
	}
	if p.ends <= at || p.dirty {
		s.energise(at)
	}
}

// motors cuts off the motors that have come to an end.
func (s *Site) motors(at signal.Time) {
	for _, d := range s.supplied.actuators {
		if d.drive == sitefile.Motorised && d.on && s.endSwitch(d, at) {
			s.supplied.dirty = true
		}
	}
	if s.supplied.dirty {
		s.energise(at)
	}
}

// closePower records where charge and temperatures stand at the end.
func (s *Site) closePower() {
	p := &s.supplied
	if p.battery != nil && s.now > p.since {
		p.left.to(s.now, p.share(p.drawn+float64(p.amps*(s.now-p.since).Seconds())))
	}
	for _, d := range p.actuators {
		if d.ac != nil {
			d.ac.curve.to(s.now, d.ac.course.At((s.now - d.ac.since).Seconds()))
		}
	}
}
