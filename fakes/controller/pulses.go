package controller

import (
	"math"
	"slices"

	"ullage/harness"
	"ullage/harness/numeric"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

const (
	charged  = 0.95 // of the supply, from which on the capacitor is ready for the next pulse (common practice, no source)
	leastUse = 1.0  // V, below which a pulse is not worth trying (common practice, no source)
	straight = 0.2  // of its time constant: so long a line misses the curve by at most 0.2²/8, half a per cent
)

// store is the capacitor that the pulses to latching valves are taken from. The supply charges it through a resistor and a
// rectifier; a bleeding resistor across it lets it follow a falling supply, but slowly. That its charging current pulls the
// supply down is left out; the charge itself is missing in a battery of the site.
type store struct {
	farads          float64 // F
	through, bleeds float64 // Ω
	coil            float64 // Ω, of the coils that it is made for

	volts  float64     // at since
	since  signal.Time // since then it charges towards supply
	supply float64     // V
}

// at is the voltage at a moment: V = Vs - (Vs - V0) exp(-t/RC) while it charges, the bleeding being next to nothing
// against it, and V0 exp(-t/RC) with the bleeding resistor while it is above the supply.
func (s *store) at(t signal.Time) float64 {
	if s.farads == 0 {
		return 0
	}
	if s.supply <= s.volts {
		return math.Max(s.supply, s.volts*numeric.Exp(-(t-s.since).Seconds()/(s.bleeds*s.farads)))
	}
	return s.supply - float64((s.supply-s.volts)*numeric.Exp(-(t-s.since).Seconds()/(s.through*s.farads)))
}

// feel takes over a supply that has changed.
func (s *store) feel(now signal.Time, supply harness.Pin) {
	if volts := supplyStage.Volts(supply, now); s.farads > 0 && volts != s.supply {
		s.volts, s.since, s.supply = s.at(now), now, volts
	}
}

// ready is when the capacitor is charged for a pulse, if nothing changes.
func (s *store) ready() signal.Time {
	want := charged * s.supply
	if s.volts >= want {
		return s.since
	}
	return s.since + signal.FromSeconds(s.through*s.farads*numeric.Log((s.supply-s.volts)/(s.supply-want)))
}

// after is what a pulse of so many seconds leaves of a voltage: V exp(-t/RC), with R of coil and driver.
func (s *store) after(volts, seconds float64) float64 {
	return volts * numeric.Exp(-seconds/s.drains())
}

// drains is the time constant of a pulse, s: that of the capacitor with coil and driver.
func (s *store) drains() float64 { return (s.coil + driverResistance) * s.farads }

// outputDrivers sets up what drives latching and motorised valves.
func (w *wiring) outputDrivers(d *sitefile.Drivers) {
	if d == nil {
		d = &sitefile.Drivers{}
	}
	made := *d
	made.FillDefaults()
	c := w.c
	c.pulsing, c.pulseLength, c.drivesFor = -1, span(made.Pulse), span(made.DrivesFor)
	c.shutsOnLoss = made.OnPowerLoss == "shuts"
	c.pulseReady = signal.Never
	latching := false
	for _, o := range c.outputs {
		latching = latching || o.drive == sitefile.Latching
		c.twoWay = c.twoWay || o.drive == sitefile.Latching || o.drive == sitefile.Motorised
	}
	if !latching {
		return
	}
	c.store = store{farads: made.Storage.SI, through: made.ChargesThrough.SI, bleeds: made.Bleeds.SI, coil: made.Coil.SI}
	if made.ShutsBelow.SI > 0 {
		c.rules = append(c.rules, &keepsCharge{c: c, below: made.ShutsBelow.SI, ban: w.banLatching(), changes: signal.Never})
	}
}

func (w *wiring) banLatching() *ban {
	b := &ban{c: w.c}
	for i := range w.c.outputs {
		if w.c.outputs[i].drive == sitefile.Latching {
			b.outputs = append(b.outputs, i)
		}
	}
	w.c.bans = append(w.c.bans, b)
	return b
}

// pulse gives latching valves their pulses, one after another, those that shut first. A valve whose state nobody knows is
// shut. Without a running control loop there are none, unless open valves are to be shut with what the capacitor holds.
func (c *Controller) pulse() {
	c.pulseReady = signal.Never
	if c.pulsing >= 0 {
		if o := &c.outputs[c.pulsing]; c.now < o.until {
			if c.now >= c.pieceEnds {
				c.drain(o)
			}
			return
		}
		c.endPulse()
	}
	next := -1
	for i := range c.outputs {
		o := &c.outputs[i]
		if o.drive != sitefile.Latching {
			continue
		}
		want := c.allowed(i)
		switch running := c.power.running() || want; {
		case running && o.known && want == o.on:
		case running:
			if next < 0 || !want && c.allowed(next) {
				next = i
			}
		case o.on && c.shutsOnLoss && c.store.at(c.now) >= leastUse:
			if next < 0 {
				next = i
			}
		default:
			c.hasBeen(o, false)
		}
	}
	if next < 0 {
		return
	}
	if ready := c.store.ready(); c.power.running() && c.now < ready {
		c.pulseReady = ready
		return
	}
	c.beginPulse(next, c.allowed(next))
}

// beginPulse connects the capacitor to a latching valve.
func (c *Controller) beginPulse(i int, open bool) {
	o := &c.outputs[i]
	o.known, o.until = c.power.running() || open, c.now+c.pulseLength
	c.pulsing, c.pulseVolts = i, c.store.at(c.now)
	c.hasBeen(o, open)
	c.drain(o)
}

// drain tells the output how the voltage of the capacitor falls while it gives current: in straight lines with the right
// ends, each short enough to keep to the curve.
func (c *Controller) drain(o *output) {
	spent := (c.now - o.until + c.pulseLength).Seconds()
	c.pieceEnds = min(o.until, c.now+max(1, signal.FromSeconds(straight*c.store.drains())))
	seconds := (c.pieceEnds - c.now).Seconds()
	volts := c.store.after(c.pulseVolts, spent)
	c.connect(o, harness.Pin{At: c.now, Volts: volts, Slope: (c.store.after(c.pulseVolts, spent+seconds) - volts) / seconds}, polarity(o.on))
}

// endPulse opens the output again. The capacitor has been drained for the whole of the pulse.
func (c *Controller) endPulse() {
	o := &c.outputs[c.pulsing]
	c.store.volts, c.store.since = c.store.after(c.pulseVolts, c.pulseLength.Seconds()), c.now
	c.pulsing = -1
	c.out = append(c.out, harness.Open(c.now, o.terminal))
}

// driversWake is when a pulse or a turn ends, or the capacitor is ready for the next pulse.
func (c *Controller) driversWake() signal.Time {
	wake := signal.Never
	if !c.twoWay {
		return wake
	}
	if c.pulsing >= 0 {
		wake = min(c.outputs[c.pulsing].until, c.pieceEnds)
	} else {
		wake = c.pulseReady
	}
	for i := range c.outputs {
		if o := &c.outputs[i]; o.driven {
			wake = min(wake, o.until)
		}
	}
	return wake
}

// keepsCharge shuts latching valves while the supply may yet suffice for it, and opens none when it would soon not.
type keepsCharge struct {
	c       *Controller
	below   float64 // V
	ban     *ban
	changes signal.Time
}

// recovers is by how much a supply must come back before latching valves are opened again: a battery that is relieved of
// its load recovers a little by itself (common practice, no source).
const recovers = 1.05

func (r *keepsCharge) reset(now signal.Time) {
	r.ban.set(false)
	r.plan(now)
}

func (r *keepsCharge) wake() signal.Time { return r.changes }

// low tells whether the supply is too low at a moment.
func (r *keepsCharge) low(at signal.Time) bool {
	limit := r.below
	if r.ban.on {
		limit *= recovers
	}
	return supplyStage.Volts(r.c.pins[r.c.power.terminal], at) < limit
}

func (r *keepsCharge) plan(now signal.Time) {
	low := r.low(now)
	r.changes = crossing(r.c.pins[r.c.power.terminal], now, func(t signal.Time) bool { return r.low(t) != low })
}

func (r *keepsCharge) step(now signal.Time) {
	if r.c.has(noChargeKept) {
		r.changes = signal.Never
		return
	}
	low := r.low(now)
	open := func(i int) bool { return r.c.outputs[i].on }
	if r.c.has(chargeAtStart) && !r.ban.on && slices.ContainsFunc(r.ban.outputs, open) {
		low = false
	}
	if low && !r.ban.on && !r.c.has(chargeSilent) {
		r.c.alert(harness.AlertLowBattery)
	}
	r.ban.set(low)
	r.plan(now)
}
