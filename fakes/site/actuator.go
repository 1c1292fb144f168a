package site

import (
	"ullage/fakes/electric"
	"ullage/harness"
	"ullage/harness/signal"
)

// actuator is the electrical side of a valve: what its coil, fed by the controller's output, asks of the disc.
type actuator struct {
	coil   electric.Coil
	coilID signal.ID
}

// wants is the share of the stroke that the actuator sends a disc to from where it is.
func (a *actuator) wants(float64) float64 {
	if a.coil.Energised {
		return 1
	}
	return 0
}

// hangCoil hangs the coil of a valve on the outputs that bear the valve's name.
func (s *Site) hangCoil(d *drive) {
	spec := d.spec
	d.coil = electric.Coil{PullIn: spec.PullIn.SI, DropOut: spec.DropOut.SI, Ohms: spec.Coil.SI}
	d.coilID = s.held(spec.Name, "coil")
	s.put(0, d.coilID, 0)
	s.onOutput(spec.Name, func(at signal.Time, pin harness.Pin) {
		if d.coil.Drive(pin) {
			s.put(at, d.coilID, state(d.coil.Energised))
			s.aim(d, at)
		}
	})
}
