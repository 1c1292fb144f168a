package sitefile

import q "ullage/harness/quantity"

// Pump lifts water from a tank or a pipe. Two or three points of its curve are given, the first at no flow.
type Pump struct {
	Name        string `yaml:"name"` // name of the pump
	Place       `yaml:",inline"`
	Curve       []PumpPoint       `yaml:"curve"`                                       // two or three points, the first at no flow, head falling
	DryBelow    q.LengthValue     `yaml:"dry-below,omitempty" range:"0 mm to 20 m"`    // level in its tank below which it draws air
	Priming     Priming           `yaml:"priming,omitempty" enum:"flooded,self"`       // how it fills again after it has drawn air: by itself while it runs, or when its suction is flooded; default flooded
	PrimesIn    q.DurationValue   `yaml:"primes-in,omitempty" range:"0 s to 1 h"`      // time that this takes; default 0 s
	FloodsAbove q.LengthValue     `yaml:"floods-above,omitempty" range:"0 mm to 20 m"` // level in its tank above which its suction is flooded; default 10 mm above dry-below
	PullIn      q.VoltageValue    `yaml:"pull-in" range:"0.1 V to 60 V"`               // its contactor pulls in at this voltage and above
	DropOut     q.VoltageValue    `yaml:"drop-out" range:"0 V to 60 V"`                // its contactor drops out below this voltage
	Coil        q.ResistanceValue `yaml:"coil" range:"0.1 ohm to 1 Mohm"`              // resistance of its contactor's coil
}

// PumpPoint is one point of a pump's curve.
type PumpPoint struct {
	Flow q.FlowValue   `yaml:"flow" range:"0 L/min to 10000 L/min"` // flow at this point
	Head q.LengthValue `yaml:"head" range:"0 m to 500 m"`           // metres of water that it lifts at this flow
}

// Priming is how a pump that has drawn air fills with water again.
type Priming string

// The ways of priming.
const (
	FloodedSuction Priming = "flooded" // water must stand above it
	SelfPriming    Priming = "self"    // it draws its water up while it runs
)
