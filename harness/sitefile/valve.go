package sitefile

import q "ullage/harness/quantity"

// Valve is an electrically driven valve; a spring-return one is normally closed.
type Valve struct {
	Name  string `yaml:"name"` // name of the valve
	Place `yaml:",inline"`
	// flow capacity Kv, fully open
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"`
	// stroke time
	Opens q.DurationValue `yaml:"opens" range:"1 ms to 10 min"`
	// stroke time
	Closes q.DurationValue `yaml:"closes" range:"1 ms to 10 min"`
	// share of the capacity at a share of the stroke; default linear
	Characteristic Characteristic `yaml:"characteristic,omitempty" enum:"linear,quick-opening,equal-percentage,diaphragm"`
	Operation      `yaml:",inline"`
	PullIn         q.VoltageValue `yaml:"pull-in" range:"0.1 V to 60 V"` // the coil lifts at this voltage and above
	DropOut        q.VoltageValue `yaml:"drop-out" range:"0 V to 60 V"`  // the coil lets go below this voltage
	// resistance of the coil, or of the motor, as a meter shows it across the two wires at 20 °C; of a coil for 24 V of
	// alternating current usually 20 to 60 ohm
	Coil     q.ResistanceValue `yaml:"coil" range:"0.1 ohm to 1 Mohm"`
	Actuator `yaml:",inline"`
}

// Characteristic relates the share of the stroke to the share of the capacity.
type Characteristic string

// The characteristics.
const (
	LinearCharacteristic Characteristic = "linear"           // capacity in proportion to stroke
	QuickOpening         Characteristic = "quick-opening"    // most of the capacity in the first part of the stroke
	EqualPercentage      Characteristic = "equal-percentage" // equal steps of stroke, equal ratios of capacity
	Diaphragm            Characteristic = "diaphragm"        // nearly full at 40 % of the stroke, throttles at its end
)
