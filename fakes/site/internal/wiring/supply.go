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
	source
	straight
	resets     float64 // V, below which the controller resets
	commonOpen float64 // knob: the common wire of all coils is open: above 0

	loads      []load
	neighbours []neighbour
	loops      []loop

	drawn float64         // C, taken from the battery
	amps  float64         // A, from the source, at since
	gives electric.Source // the source as it was worked out last, with its load
	load  electric.Load
	last  harness.Pin // that was sent
	dirty bool        // something has changed since it was worked out
	left  device.Line // of a battery: share of its charge
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

func newSupply(bench *device.Bench, board *board, spec *sitefile.Site) *supply {
	c := &spec.Controller
	return &supply{Bench: bench, board: board, straight: straight{ends: signal.Never}, resets: c.ResetsBelow.SI, dirty: true,
		source: source{spec: spec.Power, nominal: c.Supply.SI, alternating: spec.Alternating()}}
}

// open declares the supply and offers its knobs, once everything that it feeds is connected.
func (p *supply) open() {
	offer := p.Knobs(harness.PowerName, "power", func(signal.Time) { p.dirty = true })
	offer(fault.Knob{Name: "voltage factor", Max: 1.5, Rest: 1, Join: fault.Multiply}, &p.factor)
	offer(fault.Knob{Name: "common open", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.commonOpen)
	p.charge, p.charged = 1, 1
	offer(fault.Knob{Name: "internal resistance", Dim: quantity.Resistance, Max: 1000, Join: fault.Add}, &p.more)
	p.farads = p.spec.Capacitor.SI
	if b := p.spec.Battery; b != nil {
		offer(fault.Knob{Name: "charge", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Smallest}, &p.charge)
		p.battery = &electric.Battery{Capacity: b.Capacity.SI, Full: p.nominal, Flat: b.Flat.SI,
			Ohms: p.spec.InternalResistance.SI}
		p.drawn = p.battery.Capacity * (1 - b.Starts.SI)
		p.left = p.Line(signal.Power.Charge())
		p.left.To(0, p.share(p.drawn))
	}
	p.course.X0 = p.after(p.drawn).Loaded(p.total())
}

// connect puts a load on the supply. Its current is recorded where it is asked for, and where the site file describes
// the supply.
func (p *supply) connect(name string, l load, recorded bool) {
	p.loads = append(p.loads, l)
	c := l.wires()
	c.name, c.bench, c.nominal, c.commonOpen = name, p.Bench, p.nominal, &p.commonOpen
	c.pin.Ohms = math.Inf(1)
	c.asked = c.pin
	if c.recorded = recorded || p.described(); c.recorded {
		c.currentID = p.Declare(signal.Output(name).Current())
		p.Put(0, c.currentID, 0)
	}
}

// kick has a coil that its output is about to let go of pull at the wires beside it.
func (p *supply) kick(at signal.Time, c *circuit, pin harness.Pin) {
	if !c.letsGo(pin) {
		return
	}
	volts := math.Abs(c.pin.VoltsAt(at))
	for _, n := range p.neighbours {
		n.kick(at, volts)
	}
}

// total is everything that hangs on the supply.
func (p *supply) total() electric.Load {
	l := electric.Load{Amps: p.spec.ControllerDraws.SI}
	for _, x := range p.loads {
		x.wires().load(&l)
	}
	return l
}

// maxSettling is how often coils and supply may answer each other at one moment. Every coil that lets go adds to the
// load or leaves it, so that it takes no more rounds than there are coils.
const maxSettling = 32

// energise works the supply out at a moment: what is left of it for the controller and each coil, and what they do with
// it.
func (p *supply) energise(at signal.Time) {
	volts := p.spend(at)
	for _, x := range p.loads {
		x.wires().warmed(at)
	}
	for range maxSettling {
		p.dirty = false
		p.shareReturns()
		p.gives, p.load = p.after(p.drawn), p.total()
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
	source, load := p.gives, p.load
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

// spend ends the straight piece at a moment: it takes the charge that has flown from the battery and returns the
// voltage.
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
	if p.farads == 0 || p.gives.Ohms == 0 && p.gives.EMF >= volts {
		return p.load.Draws(volts)
	}
	return p.gives.Gives(volts)
}

// pass works the supply out when that is due.
func (p *supply) pass(at signal.Time) {
	if p.ends <= at || p.dirty {
		p.energise(at)
	}
}

// piece finds how long the voltage runs straight from a moment, and how it runs.
func (p *supply) piece(at signal.Time, volts float64) {
	p.since, p.ends = at, signal.Never
	curved := p.course.A != 0 || p.course.B != 0
	switch {
	case curved:
		seconds := p.beforeLevels(p.course.Straight(voltTolerance))
		if !math.IsInf(seconds, 1) {
			p.ends = at + max(1, signal.FromSeconds(seconds))
		}
	case p.battery != nil && p.amps > 0:
		seconds := math.Min(longestPiece, math.Max(1, usedAtOnce*p.share(p.drawn)*p.battery.Capacity/p.amps))
		if p.share(p.drawn) == p.share(p.drawn+float64(p.amps*longestPiece)) { // flat, or held so by its knob
			seconds = longestPiece
		}
		after := p.after(p.drawn + float64(p.amps*seconds)).Loaded(p.load)
		p.course.A = (after - volts) / seconds
		p.ends = at + max(1, signal.FromSeconds(p.beforeLevels(seconds)))
	}
}

// beforeLevels shortens a time in seconds to that after which the voltage at the controller reaches one at which
// something happens: the controller's own reset, the source behind the rectifier, no voltage, and the coils'.
func (p *supply) beforeLevels(seconds float64) float64 {
	visit := func(level float64) {
		if t := p.course.Reaches(level); t > 0 {
			seconds = math.Min(seconds, t)
		}
	}
	visit(p.resets)
	visit(0)
	if p.farads > 0 {
		visit(p.gives.EMF)
		if p.gives.Limit > 0 {
			visit(p.gives.Bends())
		}
	}
	for _, x := range p.loads {
		c := x.wires()
		if across := c.across(); c.fed && across > 0 {
			visit(c.coil.PullIn / across)
			visit(c.coil.DropOut / across)
		}
	}
	return seconds
}

// pin is the supply at the controller's power terminal from a moment on, with everything that it feeds.
func (p *supply) pin(at signal.Time) harness.Pin {
	pin := harness.Pin{At: at, Terminal: len(p.terminals) - 1}
	pin.Volts, pin.Slope = p.line(at)
	return pin
}

// sendVoltage sends the controller its supply when that has changed.
func (p *supply) sendVoltage(at signal.Time) {
	pin := p.pin(at)
	if !p.live || pin.Slope == p.last.Slope && pin.Volts == p.last.VoltsAt(at) {
		return
	}
	p.last = pin
	p.send(pin)
}

// start sends the controller its supply for the first time.
func (p *supply) start(at signal.Time) {
	p.last = p.pin(at)
	p.send(p.last)
}

// close records the charge at the end of the run.
func (p *supply) close(at signal.Time) {
	if p.battery != nil && at > p.since {
		p.left.To(at, p.share(p.drawn+float64(p.amps*(at-p.since).Seconds())))
	}
}
