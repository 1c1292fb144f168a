package sitefile

import q "ullage/harness/quantity"

// Pump lifts water from a tank or a pipe. Two or three points of its curve are given, the first at no flow.
type Pump struct {
	Name  string `yaml:"name"` // name of the pump
	Place `yaml:",inline"`
	// two or three points, the first at no flow, head falling
	Curve []PumpPoint `yaml:"curve"`
	// head that it needs at its inlet above that of vapour (net positive suction head); default 0 m
	NPSH q.LengthValue `yaml:"npsh,omitempty" range:"0 m to 50 m"`
	// level in its tank below which it draws air
	DryBelow q.LengthValue `yaml:"dry-below,omitempty" range:"0 mm to 20 m"`
	// how it fills again after it has drawn air: by itself while it runs, or when its suction is flooded; default
	// flooded
	Priming Priming `yaml:"priming,omitempty" enum:"flooded,self"`
	// time that this takes; default 0 s
	PrimesIn q.DurationValue `yaml:"primes-in,omitempty" range:"0 s to 1 h"`
	// level in its tank above which its suction is flooded; default 10 mm above dry-below
	FloodsAbove q.LengthValue `yaml:"floods-above,omitempty" range:"0 mm to 20 m"`
	// switches it by the pressure behind it, with a non-return valve and a vessel of its own; none when not given
	PressureSwitch PressureSwitch `yaml:"pressure-switch,omitempty"`
	// time in which it runs down to a stand without power; with it the surge of its stop is computed, else none is
	StopsIn q.DurationValue `yaml:"stops-in,omitempty" range:"10 ms to 10 min"`
	// its contactor pulls in at this voltage and above
	PullIn q.VoltageValue `yaml:"pull-in" range:"0.1 V to 60 V"`
	// its contactor drops out below this voltage
	DropOut q.VoltageValue `yaml:"drop-out" range:"0 V to 60 V"`
	// resistance of its contactor's coil
	Coil q.ResistanceValue `yaml:"coil" range:"0.1 ohm to 1 Mohm"`
}

// PumpPoint is one point of a pump's curve.
type PumpPoint struct {
	Flow q.FlowValue   `yaml:"flow" range:"0 L/min to 10000 L/min"` // flow at this point
	Head q.LengthValue `yaml:"head" range:"0 m to 500 m"`           // metres of water that it lifts at this flow
}

// PressureSwitch lets a pump run, while its contactor is in, from the cut-in to the cut-out pressure; between them a
// diaphragm vessel gives the water. A run begins at the cut-in pressure.
type PressureSwitch struct {
	// pressure behind the pump down to which it falls before the pump starts
	CutIn q.PressureValue `yaml:"cut-in" range:"0.1 bar to 20 bar"`
	// pressure to which it rises before the pump stops
	CutOut q.PressureValue `yaml:"cut-out" range:"0.2 bar to 25 bar"`
	Vessel q.VolumeValue   `yaml:"vessel" range:"100 mL to 10 m3"` // size of the diaphragm vessel
	// of its air while no water is in it; default nine tenths of cut-in
	Charge q.PressureValue `yaml:"charge,omitempty" range:"0.05 bar to 20 bar"`
	// share of this air that is left; default 100 %
	Air q.FractionValue `yaml:"air,omitempty" range:"1 % to 100 %"`
}

// Priming is how a pump that has drawn air fills with water again.
type Priming string

// The ways of priming.
const (
	FloodedSuction Priming = "flooded" // water must stand above it
	SelfPriming    Priming = "self"    // it draws its water up while it runs
)
