package wiring

import (
	"math"

	"ullage/fakes/internal/probe"
	"ullage/fakes/site/internal/beds"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// sensor is a soil-moisture probe at its terminal, with its lead.
type sensor struct {
	supply      *supply
	spec        sitefile.Probe
	place       *beds.Place
	calibration probe.Calibration
	loop        bool    // it puts out a current
	rail        float64 // V, of the board
	starved     bool    // it puts out what the supply can drive through its loop
	coupled     float64 // A, amplitude of what the mains couple into its lead
	hertz       float64 // Hz, of the mains
	terminal    int
	last        harness.Pin // that was sent
	renews      signal.Time // the noise takes another value
	stuckAt     float64     // output that it stays at, V or A

	// Knobs.
	lead    float64 // Ω added in the lead
	short   float64 // +1 the lead touches what feeds it, -1 ground, 0 neither
	drift   float64 // water content that it shows too much
	warmer  float64 // K, of the soil
	exposed float64 // share of its blades that stand in air
	flooded float64 // share of its blades that stand in water
	gain    float64 // by which the water content that it shows is multiplied
	swapped float64 // above 0: the outputs of its two calibrations are exchanged
	noise   noise
	lag     lag
	stuck   float64 // above 0: its output stays what it was
	failing float64 // loop: +1 it reports a failure by a high current, -1 by a low one
	hum     float64 // A, amplitude, besides what the mains couple in
}

// curves are the curves of probes by their names in the site file.
var curves = map[sitefile.ProbeCurve]probe.Curve{
	sitefile.LinearCurve: probe.Linear, sitefile.MineralCurve: probe.Mineral, sitefile.OrganicCurve: probe.Organic}

// openProbe declares a probe at its place in a bed, on a board with a rail, and offers its knobs.
func openProbe(p *supply, place *beds.Place, spec sitefile.Probe, rail float64, draw harness.Draw) *sensor {
	x := &sensor{supply: p, spec: spec, place: place, terminal: p.inputOf(spec.Name), noise: noise{name: spec.Name,
		draw: draw, own: spec.Noise.SI}, renews: signal.Never, hertz: sitefile.DefaultHum,
		loop: spec.Output == sitefile.LoopOutput, rail: rail}
	dry, wet := spec.Dry.Volts.SI, spec.Wet.Volts.SI
	if x.loop {
		dry, wet = spec.Dry.Current.SI, spec.Wet.Current.SI
		p.loops = append(p.loops, x)
	}
	x.calibration = probe.NewCalibration(curves[spec.Curve], spec.Dry.Moisture.SI, dry, spec.Wet.Moisture.SI, wet)
	if m := spec.BesideMains; m != nil {
		x.coupled, x.hertz = probe.Hum(m.Length.SI, m.Volts.SI, m.Frequency.SI), m.Frequency.SI
	}
	place.Moved = x.sendIfChanged
	x.offer()
	return x
}

// offer offers the probe's knobs.
func (p *sensor) offer() {
	turn := func(at signal.Time) {
		p.listen(at)
		p.sendIfChanged(at)
	}
	offer := p.supply.Knobs(p.spec.Name, "probe", turn)
	offer(fault.Knob{Name: "lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add}, &p.lead)
	offer(fault.Knob{Name: "short", Min: -1, Max: 1, Join: fault.Replace}, &p.short)
	offer(fault.Knob{Name: "drift", Dim: quantity.Fraction, Min: -1, Max: 1, Join: fault.Add}, &p.drift)
	offer(fault.Knob{Name: "warmer", Dim: quantity.None, Min: -60, Max: 60, Join: fault.Add}, &p.warmer)
	offer(fault.Knob{Name: "exposed", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &p.exposed)
	offer(fault.Knob{Name: "flooded", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &p.flooded)
	offer(fault.Knob{Name: "gain", Dim: quantity.None, Min: 0.01, Max: 100, Rest: 1, Join: fault.Multiply}, &p.gain)
	offer(fault.Knob{Name: "swapped", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.swapped)
	offer(fault.Knob{Name: "spike", Dim: quantity.Voltage, Max: 10, Join: fault.Largest}, &p.noise.spike)
	offer(fault.Knob{Name: "spikes", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &p.noise.spikes)
	offer(fault.Knob{Name: "lag", Dim: quantity.Duration, Max: 7 * 86400, Join: fault.Largest}, &p.lag.constant)
	if p.loop {
		offer(fault.Knob{Name: "failing", Min: -1, Max: 1, Join: fault.Replace}, &p.failing)
	}
	offer(fault.Knob{Name: "noise", Dim: quantity.Voltage, Max: 10, Join: fault.Largest}, &p.noise.added)
	offer(fault.Knob{Name: "hum", Dim: quantity.Current, Max: 1e-3, Join: fault.Add}, &p.hum)
	p.supply.Knobs(p.spec.Name, "probe", func(at signal.Time) {
		p.stuckAt, _ = p.output(p.water(at))
		turn(at)
	})(fault.Knob{Name: "stuck", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.stuck)
	p.listen(0)
}

// water is the water content that the probe has come to feel at a moment of the bed's present straight line, and how
// fast it rises.
func (p *sensor) water(at signal.Time) (content, slope float64) {
	content, slope = p.place.At(at)
	return p.lag.follow(at, content, slope)
}

// output is what the probe puts out at a water content, V or A, and how fast that rises. Soil that is warmer than at
// the calibration, drift and air at the blades shift the water content that it shows.
func (p *sensor) output(content, slope float64) (out, rises float64) {
	warmer := p.spec.Temperature.SI + p.warmer - sitefile.DefaultSoil
	shown := float64(p.gain*content) + p.drift + float64(p.spec.PerKelvin.SI*warmer)
	shown = float64((1-p.exposed)*shown) + float64(p.exposed*probe.Air)
	shown = float64((1-p.flooded)*shown) + float64(p.flooded*probe.Water)
	out, rises = p.calibration.Output(shown), (1-p.exposed)*(1-p.flooded)*p.gain*slope*p.calibration.Rise(shown)
	if p.swapped > 0 {
		out, rises = p.calibration.DryOut+p.calibration.WetOut-out, -rises
	}
	if !p.loop && out < 0 { // no output goes below its ground
		return 0, 0
	}
	if held := probe.NE43.Saturates(out); p.loop && held != out {
		return held, 0
	}
	return out, rises
}

// listen sets when noise and lag take their next values.
func (p *sensor) listen(at signal.Time) {
	p.renews = signal.Never
	if p.terminal >= 0 && p.noise.any() {
		p.renews = (at/fresh + 1) * fresh
	}
	if p.terminal >= 0 && p.lag.constant > 0 {
		p.renews = min(p.renews, p.lag.renews(at))
	}
}

func (p *sensor) next() signal.Time { return p.renews }

// pass renews noise and lag when that is due.
func (p *sensor) pass(at signal.Time) {
	if p.renews <= at {
		p.listen(at)
		p.sendIfChanged(at)
	}
}

// pin is what the probe puts on its terminal from a moment on.
func (p *sensor) pin(at signal.Time) harness.Pin {
	pin := p.source(at)
	if hum := p.coupled + p.hum; hum > 0 {
		pin.Hum, pin.HumHertz = hum, p.hertz
	}
	return pin
}

// source is the pin without what is coupled into it.
func (p *sensor) source(at signal.Time) harness.Pin {
	p.starved = false
	pin := harness.Pin{At: at, Terminal: p.terminal, Ohms: p.spec.Source.SI + p.lead}
	shunt := p.spec.Shunt.SI
	switch {
	case p.short < 0: // also of the shunt
		pin.Ohms = 0
		return pin
	case p.short > 0:
		pin.Volts, pin.Slope = p.feed(at)
		pin.Ohms = 0
		return pin
	case p.lead > openCircuit && !p.loop:
		pin.Ohms = math.Inf(1)
		return pin
	case p.lead > openCircuit: // the shunt stays where it is
		pin.Ohms = shunt
		return pin
	}
	out, rises := p.output(p.water(at))
	if p.stuck > 0 {
		out, rises = p.stuckAt, 0
	}
	if p.loop {
		out, rises = p.drives(at, out, rises)
		pin.Ohms, out, rises = shunt, float64(out*shunt), rises*shunt
	}
	pin.Noise, pin.NoiseRMS = p.noise.at(at)
	pin.Volts, pin.Slope = out+pin.Noise, rises
	return pin
}

// drives is the current of a loop that is to put out a current which rises so fast: as far as its supply drives it.
func (p *sensor) drives(at signal.Time, out, rises float64) (amps, slope float64) {
	switch {
	case p.failing < 0:
		out, rises = probe.NE43.FailureLow, 0
	case p.failing > 0:
		out, rises = probe.NE43.FailureHigh, 0
	}
	volts, slope := p.feed(at)
	ohms := p.lead + p.spec.Shunt.SI
	most := probe.Drives(out, volts, p.spec.Needs.SI, ohms)
	switch p.starved = most < out; {
	case !p.starved:
		return out, rises
	case most == 0:
		return 0, 0
	}
	return most, slope / ohms
}

// feed is the voltage that feeds the probe at a moment, V, and how fast it rises, V/s: the board's rail, or the supply
// of a loop.
func (p *sensor) feed(at signal.Time) (volts, slope float64) {
	if p.loop {
		return p.supply.line(at)
	}
	return p.rail, 0
}

// sendStarved sends what the supply makes of a loop, where it is the supply that decides.
func (p *sensor) sendStarved(at signal.Time) {
	if before := p.starved; p.source(at).Volts != p.last.VoltsAt(at) && (p.starved || before || p.short > 0) {
		p.sendIfChanged(at)
	}
}

// sendIfChanged sends the controller the pin of the probe where it is another than was sent last.
func (p *sensor) sendIfChanged(at signal.Time) {
	if p.terminal < 0 || !p.supply.live {
		return
	}
	pin := p.pin(at)
	same := pin.Ohms == p.last.Ohms && pin.Slope == p.last.Slope && pin.Hum == p.last.Hum &&
		pin.NoiseRMS == p.last.NoiseRMS
	if same && pin.Volts == p.last.VoltsAt(at) {
		return
	}
	p.last = pin
	p.supply.send(pin)
}

// start sends the controller the pin of the probe for the first time.
func (p *sensor) start(at signal.Time) { p.sendIfChanged(at) }
