package site

import (
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// supplied is the controller's own supply.
type supplied struct {
	terminal int
	factor   float64 // knob
}

// cable is the resistance of the controller's supply and its cable, Ω (common practice, no source).
const cable = 0.05

func (s *Site) openPower(panel *fault.Panel) {
	s.supplied.terminal = len(s.terminals) - 1
	s.offer(panel, fault.Knob{Device: harness.PowerName, Kind: "power", Name: "voltage factor", Max: 1.5, Rest: 1, Join: fault.Multiply},
		&s.supplied.factor, func() {
			if !s.first {
				s.pins = append(s.pins, s.powerPin(s.now))
			}
		})
}

// powerPin is the supply at the controller's power terminal.
func (s *Site) powerPin(at signal.Time) harness.Pin {
	return harness.Pin{At: at, Terminal: s.supplied.terminal, Volts: s.spec.Controller.Supply.SI * s.supplied.factor, Ohms: cable}
}
