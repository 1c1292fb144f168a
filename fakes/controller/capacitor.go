package controller

import (
	"math"

	"ullage/harness/numeric"
	"ullage/harness/signal"
)

const (
	// of the supply, from which on the capacitor is ready for the next pulse (common practice, no source)
	charged  = 0.95
	leastUse = 1.0 // V, below which a pulse is not worth trying (common practice, no source)
	straight = 0.2 // of its time constant: so long a line misses the curve by at most 0.2²/8, half a per cent
)

// store is the capacitor that the pulses to latching valves are taken from. The supply charges it through a resistor
// and a rectifier; a bleeding resistor across it lets it follow a falling supply, but slowly. That its charging current
// pulls the supply down is left out; the charge itself is missing in a battery of the site.
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
func (s *store) feel(now signal.Time, volts float64) {
	if s.farads > 0 && volts != s.supply {
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
