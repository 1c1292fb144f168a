package sitefile

import (
	"fmt"
	"strconv"
	"strings"

	q "ullage/harness/quantity"
)

// Power is the supply of the controller and of everything that its outputs switch on. What a file does not say of it
// stands as in an adapter of usual size, which Assumed names. Mains power is none of its business: everything here is
// behind an adapter, a transformer or a battery of extra-low voltage.
type Power struct {
	// current on the label of the adapter, or of the transformer of a site with coils for alternating current. An
	// adapter holds its voltage up to 110 % of it and gives no more; a transformer has its voltage at that current.
	// Default 1 A, of a transformer 800 mA, unless internal-resistance or battery is given
	Rated q.CurrentValue `yaml:"rated,omitempty" range:"10 mA to 100 A"`
	// of the adapter, the transformer or the full battery, with the lead to the controller; default 0 ohm, of a
	// transformer with a rated current such that 12 % of its voltage are lost at that
	InternalResistance q.ResistanceValue `yaml:"internal-resistance,omitempty" range:"0 ohm to 1 kohm"`
	// current of the controller itself, with its radio; default 100 mA
	ControllerDraws q.CurrentValue `yaml:"controller-draws,omitempty" range:"0 mA to 10 A"`
	// behind the rectifier: carries the controller through a short dip; default none
	Capacitor q.CapacitanceValue `yaml:"capacitor,omitempty" range:"1 uF to 100 F"`
	// when the supply is a battery; the voltage of a full one is the controller's supply
	Battery *Battery `yaml:"battery,omitempty"`
}

// Battery is a battery of cells. Its open-circuit voltage falls in a straight line with its charge, and its resistance
// grows as its charge goes to an end.
type Battery struct {
	Capacity q.ChargeValue `yaml:"capacity" range:"1 mAh to 1000 Ah"` // charge from full to flat
	// open-circuit voltage when its charge is used up
	Flat q.VoltageValue `yaml:"flat" range:"0.1 V to 60 V"`
	// charge that is left when a run begins; default 100 %
	Starts q.FractionValue `yaml:"starts,omitempty" range:"0.1 % to 100 %"`
}

// Drive is what moves a valve.
type Drive string

// The drives.
const (
	SpringReturn Drive = "spring-return" // a coil lifts it, a spring shuts it: without power it shuts
	// a pulse of one polarity opens it, one of the other shuts it: without power it stays
	Latching Drive = "latching"
	// a motor turns it towards the end of the polarity: without power it stays where it is
	Motorised Drive = "motorised"
)

// Actuator is the electrical side of a valve.
type Actuator struct {
	// what moves it; default spring-return. The stroke times of a motorised valve are those of its motor
	Drive Drive `yaml:"drive,omitempty" enum:"spring-return,latching,motorised"`
	// of a spring-return valve; default dc
	Current string `yaml:"current,omitempty" enum:"dc,ac"`
	// ac: at the controller's supply, while the plunger is out; default by 9.6 VA, 400 mA at 24 V, or less where the
	// coil's resistance allows no more
	Inrush q.CurrentValue `yaml:"inrush,omitempty" range:"1 mA to 20 A"`
	// ac: at the controller's supply, once the plunger is in; default half of the inrush
	Holding q.CurrentValue `yaml:"holding,omitempty" range:"1 mA to 20 A"`
	// spring-return: of the coil in the end, on the controller's supply in air of 20 °C; default 60 °C
	WarmsTo q.TemperatureValue `yaml:"warms-to,omitempty" range:"20 °C to 250 °C"`
	// spring-return: time constant of the coil; default 15 min
	WarmsIn q.DurationValue `yaml:"warms-in,omitempty" range:"1 s to 1 d"`
	// latching: the shortest pulse at or above pull-in that moves it; default 20 ms
	Pulse q.DurationValue `yaml:"pulse,omitempty" range:"1 ms to 10 s"`
	// from the controller to the coil; none when left out
	Cable *Cable `yaml:"cable,omitempty"`
	// across the coil of a dc spring-return valve; default none
	Diode string `yaml:"diode,omitempty" enum:"none,built-in"`
	// how its two wires are connected; default as marked
	Leads string `yaml:"leads,omitempty" enum:"as marked,swapped"`
}

// Cable is a two-wire cable. Either its gauge or its cross-section is given.
type Cable struct {
	Gauge  string        `yaml:"gauge,omitempty"`                            // American wire gauge: AWG 18
	Area   q.AreaValue   `yaml:"area,omitempty" range:"0.01 mm2 to 100 mm2"` // cross-section of one wire
	Length q.LengthValue `yaml:"length" range:"0 m to 5 km"`                 // one way
}

// Drivers are the outputs of a controller as far as they drive latching and motorised valves. Pulses to latching valves
// are taken from a capacitor of the controller, one after another.
type Drivers struct {
	// length of a pulse; default 50 ms
	Pulse q.DurationValue `yaml:"pulse,omitempty" range:"1 ms to 10 s"`
	// capacitor that pulses are taken from; default 22000 uF
	Storage q.CapacitanceValue `yaml:"storage,omitempty" range:"10 uF to 100 F"`
	// resistance through which the supply charges it; default 47 ohm
	ChargesThrough q.ResistanceValue `yaml:"charges-through,omitempty" range:"0.1 ohm to 1 Mohm"`
	// across the capacitor: with it the capacitor follows a falling supply; default 10 kohm
	Bleeds q.ResistanceValue `yaml:"bleeds-through,omitempty" range:"1 ohm to 100 Mohm"`
	// of the latching coils that the outputs are made for; default 6 ohm
	Coil q.ResistanceValue `yaml:"coil,omitempty" range:"0.1 ohm to 1 kohm"`
	// how long a motorised valve is powered for each turn; default 20 s
	DrivesFor q.DurationValue `yaml:"drives-for,omitempty" range:"100 ms to 10 min"`
	// what becomes of open latching valves: they stay, or are shut with what the capacitor holds; default stays
	OnPowerLoss string `yaml:"on-power-loss,omitempty" enum:"stays,shuts"`
	// latching valves are shut, and none is opened, while the supply is below this; default 0 V
	ShutsBelow q.VoltageValue `yaml:"shuts-below,omitempty" range:"0 V to 60 V"`
}

// What stands for what a file does not say about coils and outputs (common practice, no source). The time constant is
// what follows for 40 g of copper (385 J/(kg K)) and 150 g of iron (450 J/(kg K)) that are 40 K above the air with 4 W:
// 83 J/K over 0.1 W/K are 830 s.
const (
	DefaultInrush         = 9.6     // VA, of a coil for alternating current while its plunger is out
	DefaultHeld           = 0.5     // of the inrush current, once the plunger is in
	leastInrushImpedance  = 1.2     // of the resistance
	DefaultWarmsTo        = 60.0    // °C
	DefaultWarmsIn        = 15 * 60 // s
	DefaultMoves          = 20e-3   // s
	DefaultPulse          = 50e-3   // s
	DefaultStorage        = 22e-3   // F
	DefaultChargesThrough = 47.0    // Ω
	DefaultBleeds         = 10e3    // Ω
	DefaultDriverCoil     = 6.0     // Ω
	DefaultDrivesFor      = 20.0    // s
)

// fill gives what was left out its default, for a coil with a resistance in Ω on a supply in V.
func (a *Actuator) fill(ohms, volts float64) {
	if a.Drive == "" {
		a.Drive = SpringReturn
	}
	if a.Current == "" {
		a.Current = "dc"
	}
	if a.Diode == "" {
		a.Diode = "none"
	}
	if a.Leads == "" {
		a.Leads = "as marked"
	}
	inrush := 0.0
	if a.Current == "ac" && ohms > 0 && volts > 0 {
		inrush = min(DefaultInrush/volts, volts/(leastInrushImpedance*ohms))
		if a.Holding.IsSet() {
			inrush = a.Holding.SI / DefaultHeld
		}
	}
	a.Inrush.Value = a.Inrush.Or(inrush)
	a.Holding.Value = a.Holding.Or(DefaultHeld * a.Inrush.SI)
	if a.Current != "ac" {
		a.Holding.Value = a.Holding.Or(0)
	}
	a.WarmsTo.Value = a.WarmsTo.Or(DefaultWarmsTo)
	a.WarmsIn.Value = a.WarmsIn.Or(DefaultWarmsIn)
	a.Pulse.Value = a.Pulse.Or(DefaultMoves)
}

// FillDefaults gives what was left out its default.
func (d *Drivers) FillDefaults() {
	d.Pulse.Value = d.Pulse.Or(DefaultPulse)
	d.Storage.Value = d.Storage.Or(DefaultStorage)
	d.ChargesThrough.Value = d.ChargesThrough.Or(DefaultChargesThrough)
	d.Bleeds.Value = d.Bleeds.Or(DefaultBleeds)
	d.Coil.Value = d.Coil.Or(DefaultDriverCoil)
	d.DrivesFor.Value = d.DrivesFor.Or(DefaultDrivesFor)
	if d.OnPowerLoss == "" {
		d.OnPowerLoss = "stays"
	}
}

// GaugeNumber reads "AWG 18", and "AWG 1/0" to "AWG 4/0" as 0 to -3. The error says what was expected.
func GaugeNumber(text string) (int, error) {
	written, ok := strings.CutPrefix(strings.ToUpper(strings.TrimSpace(text)), "AWG")
	written = strings.TrimSpace(written)
	aught, large := strings.CutSuffix(written, "/0")
	if n, err := strconv.Atoi(aught); ok && err == nil {
		switch {
		case large && n >= 1 && n <= 4:
			return 1 - n, nil
		case !large && n >= 0 && n <= 40:
			return n, nil
		}
	}
	return 0, fmt.Errorf("a gauge from AWG 4/0 to AWG 40, e.g. AWG 18")
}
