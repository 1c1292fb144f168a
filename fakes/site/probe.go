package site

import (
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// probe is a soil-moisture probe at its terminal.
type probe struct {
	spec     sitefile.Probe
	place    *place
	terminal int
	lead     float64 // knob: Ω added in the lead
	told     harness.Pin
}

// openCircuit is the resistance from which on a lead counts as broken, Ω.
const openCircuit = 1e9

func (s *Site) openProbes(panel *fault.Panel) {
	for _, spec := range s.spec.Probes {
		p := &probe{spec: spec, place: s.placeOf(spec.Name), terminal: s.terminal(spec.Name)}
		s.probes = append(s.probes, p)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "probe", Name: "lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add},
			&p.lead, func() { s.tellProbe(s.now, p) })
	}
}

// pin is what the probe puts on its terminal from a moment on: a voltage that falls in a straight line with the moisture.
func (p *probe) pin(at signal.Time) harness.Pin {
	if p.lead > openCircuit {
		return harness.Open(at, p.terminal)
	}
	moisture, slope := p.place.at(at)
	perMoisture := (p.spec.Wet.Volts.SI - p.spec.Dry.Volts.SI) / (p.spec.Wet.Moisture.SI - p.spec.Dry.Moisture.SI)
	return harness.Pin{At: at, Terminal: p.terminal, Ohms: p.spec.Source.SI + p.lead,
		Volts: p.spec.Dry.Volts.SI + float64((moisture-p.spec.Dry.Moisture.SI)*perMoisture),
		Slope: slope * perMoisture}
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
		if p.place.bed == b {
			s.tellProbe(at, p)
		}
	}
}
