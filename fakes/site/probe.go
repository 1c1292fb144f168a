package site

import (
	"math"

	"ullage/fakes/probe"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// sensor is a soil-moisture probe at its terminal, with its lead.
type sensor struct {
	spec        sitefile.Probe
	place       *place
	calibration probe.Calibration
	loop        bool    // it puts out a current
	rail        float64 // V, of the board
	starved     bool    // it puts out what the supply can drive through its loop
	coupled     float64 // A, amplitude of what the mains couple into its lead
	hertz       float64 // Hz, of the mains
	terminal    int
	told        harness.Pin
	draw        harness.Draw
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
	spike   float64 // V, by which a reading is off now and then
	spikes  float64 // share of the seconds in which it is
	late    late
	stuck   float64 // above 0: its output stays what it was
	failing float64 // loop: +1 it reports a failure by a high current, -1 by a low one
	noise   float64 // V rms, besides its own
	hum     float64 // A, amplitude, besides what the mains couple in
}

const (
	// openCircuit is the resistance from which on a lead counts as broken, Ω.
	openCircuit = 1e9
	// fresh is how long the noise of a probe keeps a value.
	fresh = signal.Second
)

// curves are the curves of probes by their names in the site file.
var curves = map[sitefile.ProbeCurve]probe.Curve{
	sitefile.LinearCurve: probe.Linear, sitefile.MineralCurve: probe.Mineral, sitefile.OrganicCurve: probe.Organic}

func (s *Site) openProbes(panel *fault.Panel, draw harness.Draw) {
	for _, spec := range s.spec.Probes {
		p := &sensor{spec: spec, place: s.placeOf(spec.Name), terminal: s.terminal(spec.Name), draw: draw, renews: signal.Never, hertz: sitefile.DefaultHum,
			loop: spec.Output == sitefile.LoopOutput, rail: s.spec.Controller.Board.Rail.SI}
		dry, wet := spec.Dry.Volts.SI, spec.Wet.Volts.SI
		if p.loop {
			dry, wet = spec.Dry.Current.SI, spec.Wet.Current.SI
		}
		p.calibration = probe.NewCalibration(curves[spec.Curve], spec.Dry.Moisture.SI, dry, spec.Wet.Moisture.SI, wet)
		if m := spec.BesideMains; m != nil {
			p.coupled, p.hertz = probe.Hum(m.Length.SI, m.Volts.SI, m.Frequency.SI), m.Frequency.SI
		}
		s.probes = append(s.probes, p)
		p.offer(s, panel)
	}
}

// offer offers the probe's knobs.
func (p *sensor) offer(s *Site, panel *fault.Panel) {
	turn := func() {
		p.listen(s.now)
		s.tellProbe(s.now, p)
	}
	for _, k := range []struct {
		fault.Knob
		value *float64
	}{
		{fault.Knob{Name: "lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add}, &p.lead},
		{fault.Knob{Name: "short", Min: -1, Max: 1, Join: fault.Replace}, &p.short},
		{fault.Knob{Name: "drift", Dim: quantity.Fraction, Min: -1, Max: 1, Join: fault.Add}, &p.drift},
		{fault.Knob{Name: "warmer", Dim: quantity.None, Min: -60, Max: 60, Join: fault.Add}, &p.warmer},
		{fault.Knob{Name: "exposed", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &p.exposed},
		{fault.Knob{Name: "flooded", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &p.flooded},
		{fault.Knob{Name: "gain", Dim: quantity.None, Min: 0.01, Max: 100, Rest: 1, Join: fault.Multiply}, &p.gain},
		{fault.Knob{Name: "swapped", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.swapped},
		{fault.Knob{Name: "spike", Dim: quantity.Voltage, Max: 10, Join: fault.Largest}, &p.spike},
		{fault.Knob{Name: "spikes", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &p.spikes},
		{fault.Knob{Name: "lag", Dim: quantity.Duration, Max: 7 * 86400, Join: fault.Largest}, &p.late.constant},
		{fault.Knob{Name: "failing", Min: -1, Max: 1, Join: fault.Replace}, &p.failing},
		{fault.Knob{Name: "noise", Dim: quantity.Voltage, Max: 10, Join: fault.Largest}, &p.noise},
		{fault.Knob{Name: "hum", Dim: quantity.Current, Max: 1e-3, Join: fault.Add}, &p.hum},
	} {
		if k.Name == "failing" && !p.loop {
			continue
		}
		k.Device, k.Kind = p.spec.Name, "probe"
		s.offer(panel, k.Knob, k.value, turn)
	}
	s.offer(panel, fault.Knob{Device: p.spec.Name, Kind: "probe", Name: "stuck", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.stuck, func() {
		p.stuckAt, _ = p.output(p.water(s.now))
		turn()
	})
	p.listen(0)
}

// water is the water content that the probe has come to feel at a moment of the bed's present straight line, and how fast it
// rises.
func (p *sensor) water(at signal.Time) (content, slope float64) {
	content, slope = p.place.at(at)
	return p.late.follow(at, content, slope)
}

// output is what the probe puts out at a water content, V or A, and how fast that rises. Soil that is warmer than at the
// calibration, drift and air at the blades shift the water content that it shows.
func (p *sensor) output(content, slope float64) (out, rises float64) {
	shown := float64(p.gain*content) + p.drift + float64(p.spec.PerKelvin.SI*(p.spec.Temperature.SI+p.warmer-sitefile.DefaultSoil))
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

// listen sets when the noise takes its next value.
func (p *sensor) listen(at signal.Time) {
	p.renews = signal.Never
	if p.spec.Noise.SI+p.noise+p.spike > 0 && p.terminal >= 0 {
		p.renews = (at/fresh + 1) * fresh
	}
	if p.late.constant > 0 && p.terminal >= 0 {
		p.renews = min(p.renews, p.late.renews(at))
	}
}

// pass renews the noise when that is due.
func (p *sensor) pass(s *Site, at signal.Time) {
	if p.renews <= at {
		p.listen(at)
		s.tellProbe(at, p)
	}
}

// rough is the noise at a moment, V, with the spike that it has then, and its root mean square: held for a second, near
// enough to a normal distribution (the sum of four uniform numbers, scaled to the rms), and a function of time alone.
func (p *sensor) rough(at signal.Time) (noise, rms float64) {
	off := p.spiked(at)
	rms = math.Sqrt(float64(p.spec.Noise.SI*p.spec.Noise.SI) + float64(p.noise*p.noise))
	if rms == 0 {
		return off, 0
	}
	sum := -2.0
	for i := range uint64(4) {
		sum += p.draw.Uniform(p.spec.Name, "noise", uint64(at/fresh)*4+i)
	}
	return float64(rms*math.Sqrt(3)*sum) + off, rms
}

// pin is what the probe puts on its terminal from a moment on.
func (p *sensor) pin(s *Site, at signal.Time) harness.Pin {
	pin := p.source(s, at)
	if hum := p.coupled + p.hum; hum > 0 {
		pin.Hum, pin.HumHertz = hum, p.hertz
	}
	return pin
}

// source is the pin without what is coupled into it.
func (p *sensor) source(s *Site, at signal.Time) harness.Pin {
	p.starved = false
	pin := harness.Pin{At: at, Terminal: p.terminal, Ohms: p.spec.Source.SI + p.lead}
	shunt := p.spec.Shunt.SI
	switch {
	case p.short < 0: // also of the shunt
		pin.Ohms = 0
		return pin
	case p.short > 0:
		pin.Volts, pin.Slope = p.feed(s, at)
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
		switch {
		case p.failing < 0:
			out, rises = probe.NE43.FailureLow, 0
		case p.failing > 0:
			out, rises = probe.NE43.FailureHigh, 0
		}
		volts, slope := p.feed(s, at)
		if most := probe.Drives(out, volts, p.spec.Needs.SI, p.lead+shunt); most < out {
			p.starved, out, rises = true, most, slope/(p.lead+shunt)
			if most == 0 {
				rises = 0
			}
		}
		pin.Ohms, out, rises = shunt, float64(out*shunt), rises*shunt
	}
	pin.Noise, pin.NoiseRMS = p.rough(at)
	pin.Volts, pin.Slope = out+pin.Noise, rises
	return pin
}

// feed is the voltage that feeds the probe at a moment, V, and how fast it rises, V/s: the board's rail, or the supply of a
// loop.
func (p *sensor) feed(s *Site, at signal.Time) (volts, slope float64) {
	if p.loop {
		return s.supplied.line(at)
	}
	return p.rail, 0
}

// sayStarved tells the terminals of loops what the supply makes of them, where it is the supply that decides.
func (s *Site) sayStarved(at signal.Time) {
	for _, p := range s.probes {
		if !p.loop {
			continue
		}
		if before := p.starved; p.source(s, at).Volts != p.told.VoltsAt(at) && (p.starved || before || p.short > 0) {
			s.tellProbe(at, p)
		}
	}
}

func (s *Site) tellProbe(at signal.Time, p *sensor) {
	if p.terminal < 0 || s.first {
		return
	}
	pin := p.pin(s, at)
	same := pin.Ohms == p.told.Ohms && pin.Slope == p.told.Slope && pin.Hum == p.told.Hum && pin.NoiseRMS == p.told.NoiseRMS
	if same && pin.Volts == p.told.VoltsAt(at) {
		return
	}
	p.told = pin
	s.pins = append(s.pins, pin)
}

// tellProbes tells the terminals of the probes in a bed that a new straight line has begun.
func (s *Site) tellProbes(at signal.Time, b *bed) {
	for _, p := range s.probes {
		if p.place.bed == b {
			s.tellProbe(at, p)
		}
	}
}
