// Package electric models what carries current at the site: coils at the controller's outputs and the supply of the
// controller itself.
package electric

import "ullage/harness"

// Coil is the coil of a spring-return valve or of a pump's contactor. It pulls in at one voltage and lets go below
// another; between them it stays as it is.
type Coil struct {
	PullIn, DropOut float64 // V
	Ohms            float64 // Ω
	Energised       bool
}

// Drive connects the coil to an output and tells whether it changed. An open output drives nothing.
func (c *Coil) Drive(p harness.Pin) bool {
	volts := p.Volts * c.Ohms / (c.Ohms + p.Ohms)
	if p.Ohms > 1e9 {
		volts = 0
	}
	before := c.Energised
	switch {
	case volts >= c.PullIn:
		c.Energised = true
	case volts < c.DropOut:
		c.Energised = false
	}
	return c.Energised != before
}
