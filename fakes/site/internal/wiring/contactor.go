package wiring

import (
	"ullage/fakes/internal/electric"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// contactor is the coil that switches a pump.
type contactor struct {
	circuit
	pump *hydraulics.Pump
}

// openContactor declares a pump, and its coil on the output that bears the pump's name.
func openContactor(p *supply, water *hydraulics.Water, spec sitefile.Pump) {
	c := &contactor{pump: water.OpenPump(spec),
		circuit: circuit{coil: electric.Coil{PullIn: spec.PullIn.SI, DropOut: spec.DropOut.SI}, ohms: spec.Coil.SI,
			cold: spec.Coil.SI, fed: true}}
	p.connect(spec.Name, c, false)
	p.onOutput(spec.Name, func(at signal.Time, pin harness.Pin) {
		p.kick(at, &c.circuit, pin)
		p.dirty = c.switched(pin) || p.dirty
	})
}

func (c *contactor) feel(_ signal.Time, volts float64) (changed bool) {
	if c.coil.Feel(volts * c.across()) {
		c.pump.Energise(c.coil.Energised)
	}
	return false
}
