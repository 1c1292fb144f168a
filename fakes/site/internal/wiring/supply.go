package wiring

import (
	"math"

	"ullage/fakes/internal/electric"
	"ullage/fakes/site/internal/device"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// supply is the electric net of the site: the source of the controller's supply, what it feeds, and the voltage that is
// left at the controller's power terminal. Between two moments at which it is worked out that voltage runs straight.
type supply struct {
	*device.Bench
	*board
	spec    *sitefile.Power // nil: nothing pulls the supply down
	nominal float64         // V, of the site file
	resets  float64         // V, below which the controller resets
	battery *electric.Battery
	farads  float64

	factor, more, charge float64 // knobs
	charged              float64 // the knob charge as it was worked out with last
	commonOpen           float64 // knob: the common wire of all coils is open: above 0

	loads      []load
	neighbours []neighbour
	loops      []loop

	drawn  float64         // C, taken from the battery
	amps   float64         // A, from the source, at since
	source electric.Source // as it was worked out last, with its load
	load   electric.Load
	course electric.FirstOrder
	since  signal.Time
	ends   signal.Time // of the straight piece; Never
	last   harness.Pin // that was sent
	dirty  bool        // something has changed since it was worked out
	left   device.Line // of a battery: share of its charge
}

type (
	// A neighbour is a wire beside those of coils, which shares a return with them.
	neighbour interface {
		// shareReturn adds to the circuits of the coils what their currents together make of the return.
		shareReturn()
		// sendReturn sends what those currents have made of it, where that is another pin than before.
		sendReturn(at signal.Time)
		// kick couples in a coil at so many volts that its output lets go of.
		kick(at signal.Time, volts float64)
	}
	// A loop is fed by the supply: it sends another pin where it is the supply that decides.
	loop interface{ sendStarved(at signal.Time) }
)

// leadOhms is the resistance of a supply that nothing pulls down, with its lead, Ω (common practice, no source).
const leadOhms = 0.05

func newSupply(bench *device.Bench, board *board, spec *sitefile.Site) *supply {
	c := &spec.Controller
	return &supply{Bench: bench, board: board, spec: spec.Power, nominal: c.Supply.SI, resets: c.ResetsBelow.SI, ends: signal.Never, dirty: true}
}

// open declares the supply and offers its knobs, once everything that it feeds is connected.
func (p *supply) open() {
	offer := p.Knobs(harness.PowerName, "power", func(signal.Time) { p.dirty = true })
	offer(fault.Knob{Name: "voltage factor", Max: 1.5, Rest: 1, Join: fault.Multiply}, &p.factor)
	offer(fault.Knob{Name: "common open", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.commonOpen)
	p.charge, p.charged = 1, 1
	if p.spec == nil {
		return
	}
	offer(fault.Knob{Name: "internal resistance", Dim: quantity.Resistance, Max: 1000, Join: fault.Add}, &p.more)
	p.farads = p.spec.Capacitor.SI
	if b := p.spec.Battery; b != nil {
		offer(fault.Knob{Name: "charge", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Smallest}, &p.charge)
		p.battery = &electric.Battery{Capacity: b.Capacity.SI, Full: p.nominal, Flat: b.Flat.SI, Ohms: p.spec.InternalResistance.SI}
		p.drawn = p.battery.Capacity * (1 - b.Starts.SI)
		p.left = p.Line(signal.Power.Charge())
		p.left.To(0, p.share(p.drawn))
	}
	p.course.X0 = p.sourceAfter(p.drawn).Loaded(p.total())
}

// connect puts a load on the supply. Its current is recorded where it is asked for, and where the site file describes the
// supply.
func (p *supply) connect(name string, l load, recorded bool) {
	p.loads = append(p.loads, l)
	c := l.wires()
	c.name, c.supply = name, p
	c.pin.Ohms = math.Inf(1)
	c.asked = c.pin
	if c.recorded = recorded || p.spec != nil; c.recorded {
		c.currentID = p.Declare(signal.Output(name).Current())
		p.Put(0, c.currentID, 0)
	}
}

// share is what is left of the battery's charge when so much of it has been drawn.
func (p *supply) share(drawn float64) float64 {
	return math.Min(p.charge, math.Max(0, 1-drawn/p.battery.Capacity))
}

// sourceAfter is the source as it is when so much charge has been drawn.
func (p *supply) sourceAfter(drawn float64) electric.Source {
	var made electric.Source
	switch {
	case p.battery != nil:
		made = p.battery.With(p.share(drawn))
	case p.spec != nil:
		made = electric.Source{EMF: p.nominal, Ohms: p.spec.InternalResistance.SI}
	default:
		made.EMF = p.nominal
	}
	made.EMF *= p.factor
	made.Ohms += p.more
	return made
}

// total is everything that hangs on the supply.
func (p *supply) total() electric.Load {
	if p.spec == nil {
		return electric.Load{} // which nothing pulls down
	}
	l := electric.Load{Amps: p.spec.ControllerDraws.SI}
	for _, x := range p.loads {
		l.Siemens += x.wires().siemens()
	}
	return l
}

// maxSettling is how often coils and supply may answer each other at one moment. Every coil that lets go adds to the load
// or leaves it, so that it takes no more rounds than there are coils.
const maxSettling = 32

// energise works the supply out at a moment: what is left of it for the controller and each coil, and what they do with it.
func (p *supply) energise(at signal.Time) {
	volts := p.spend(at)
	for range maxSettling {
		p.dirty = false
		p.shareReturns()
		p.source, p.load = p.sourceAfter(p.drawn), p.total()
		volts = p.settle(volts)
		changed := false
		for _, x := range p.loads {
			changed = x.feel(at, volts) || changed
		}
		if !changed && !p.dirty {
			break
		}
	}
	p.piece(at, volts)
	for _, x := range p.loads {
		x.carry(at, volts)
	}
	p.sendVoltage(at)
	p.sendReturns(at)
	for _, x := range p.loops {
		x.sendStarved(at)
	}
}

// shareReturns works out what the return wires that contacts share add to the circuits of coils.
func (p *supply) shareReturns() {
	for _, x := range p.loads {
		x.wires().common = 0
	}
	for _, n := range p.neighbours {
		n.shareReturn()
	}
}

// sendReturns sends what the currents of coils have made of the returns of contacts.
func (p *supply) sendReturns(at signal.Time) {
	for _, n := range p.neighbours {
		n.sendReturn(at)
	}
}

// settle gives the voltage under a load, after it was volts: a capacitor keeps it for now.
func (p *supply) settle(volts float64) float64 {
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
func (p *supply) spend(at signal.Time) float64 {
	volts := p.volts(at)
	if p.battery != nil {
		if at > p.since {
			p.drawn += float64((p.amps + p.ampsAt(volts)) / 2 * (at - p.since).Seconds())
		}
		turned := p.charge // jumps where the knob was turned
		p.charge = p.charged
		p.left.To(at, p.share(p.drawn))
		p.charge, p.charged = turned, turned
		p.left.To(at, p.share(p.drawn))
		p.left.Anchor() // a pulse may take charge at any time from here on
	}
	return volts
}

// ampsAt is what the source gives while the voltage at the controller is volts.
func (p *supply) ampsAt(volts float64) float64 {
	switch {
	case p.farads == 0 || p.source.Ohms == 0 && p.source.EMF >= volts:
		return p.load.Draws(volts)
	case p.source.EMF <= volts:
		return 0
	}
	return (p.source.EMF - volts) / p.source.Ohms
}

// pass works the supply out when that is due.
func (p *supply) pass(at signal.Time) {
	if p.ends <= at || p.dirty {
		p.energise(at)
	}
}

// close records the charge at the end of the run.
func (p *supply) close(at signal.Time) {
	if p.battery != nil && at > p.since {
		p.left.To(at, p.share(p.drawn+float64(p.amps*(at-p.since).Seconds())))
	}
}
