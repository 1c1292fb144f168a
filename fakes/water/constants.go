package water

// Constants are the physical constants of a network.
type Constants struct {
	Gravity   float64 // m/s2
	Density   float64 // kg/m3; turns heads into pressures and Kv into losses
	Viscosity float64 // kinematic, m2/s

	// Loss of head by Hazen and Williams in SI units:
	// HazenWilliams Length flow^1.852 / (C^1.852 Bore^HazenWilliamsBore).
	HazenWilliams     float64
	HazenWilliamsBore float64

	// Friction is the law of turbulent flow for pipes given by roughness.
	Friction Friction
}

// Friction names a law for the friction factor of turbulent flow.
type Friction uint8

const (
	// ColebrookWhite is the implicit law of C. F. Colebrook (1939), solved to
	// rounding: 1/sqrt f = -2 log10(e/(3.7 D) + 2.51/(Re sqrt f)).
	ColebrookWhite Friction = iota
	// SwameeJain is the explicit law of P. K. Swamee and A. K. Jain (1976),
	// f = 0.25 / log10(e/(3.7 D) + 5.74/Re^0.9)^2, within 2 % of the other.
	SwameeJain
)

// Standard returns the constants for water at 20 C: standard gravity, density
// 998.2 kg/m3 and viscosity 1.0034e-6 m2/s (IAPWS, rounded), the Hazen-Williams
// constant 10.67 with the exponent 4.8704 that handbooks give in SI units, and
// the friction law of Colebrook and White.
func Standard() Constants {
	return Constants{
		Gravity: 9.80665, Density: 998.2, Viscosity: 1.0034e-6,
		HazenWilliams: 10.67, HazenWilliamsBore: 4.8704,
	}
}
