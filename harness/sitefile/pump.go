package sitefile

import q "ullage/harness/quantity"

// Pump lifts water from a tank or a pipe. Two or three points of its curve are given, the first at no flow.
type Pump struct {
	Name     string `yaml:"name"` // name of the pump
	Place    `yaml:",inline"`
	Curve    []PumpPoint       `yaml:"curve"`                                    // two or three points, the first at no flow, head falling
	DryBelow q.LengthValue     `yaml:"dry-below,omitempty" range:"0 mm to 20 m"` // level in its tank below which it draws air
	PullIn   q.VoltageValue    `yaml:"pull-in" range:"0.1 V to 60 V"`            // its contactor pulls in at this voltage and above
	DropOut  q.VoltageValue    `yaml:"drop-out" range:"0 V to 60 V"`             // its contactor drops out below this voltage
	Coil     q.ResistanceValue `yaml:"coil" range:"0.1 ohm to 1 Mohm"`           // resistance of its contactor's coil
}

// PumpPoint is one point of a pump's curve.
type PumpPoint struct {
	Flow q.FlowValue   `yaml:"flow" range:"0 L/min to 10000 L/min"` // flow at this point
	Head q.LengthValue `yaml:"head" range:"0 m to 500 m"`           // metres of water that it lifts at this flow
}
