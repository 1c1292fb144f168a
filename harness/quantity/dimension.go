// Package quantity holds physical quantities with their units: SI inside, metric or US trade units at the edge.
//
// A number enters with the unit that a plumber writes beside it ("2.4 bar", "35 psi", "2 L/h", "250 ms"), is an SI
// number everywhere in the program, and leaves through Format in the unit that a person expects to read.
package quantity

// Dimension says what a number measures. Numbers of different dimension are never compared or folded together.
type Dimension uint8

// The dimensions in use, with the SI unit that the program calculates in.
const (
	None        Dimension = iota // a bare number
	Count                        // things counted: alerts, attempts, edges
	State                        // on or off: 1 or 0
	Fraction                     // share of a whole, 0 to 1
	Pressure                     // Pa, gauge
	Flow                         // m³/s
	Length                       // m
	Area                         // m²
	Volume                       // m³
	Duration                     // s
	Voltage                      // V
	Current                      // A
	Resistance                   // Ω
	Temperature                  // °C
	Velocity                     // m/s
	Depth                        // m/s, water depth per time: rain, evapotranspiration, application rate
	Capacity                     // Kv, m³/h at a loss of 1 bar
	Frequency                    // Hz
	Charge                       // C
	Capacitance                  // F
)

// System chooses the trade units that Format prints.
type System uint8

// The two families of trade units.
const (
	Metric System = iota // bar, L/min, mm, L
	US                   // psi, gpm, in, gal
)
