package sitefile

import q "ullage/harness/quantity"

// Contact is a float switch in a tank. It operates at one level and releases at another; a contact that operates below
// its release level watches for low water, one that operates above it for high water.
type Contact struct {
	Name     string        `yaml:"name"`                          // name of the contact
	In       string        `yaml:"in"`                            // a tank
	Operates q.LengthValue `yaml:"operates" range:"0 mm to 20 m"` // level at which it operates
	Releases q.LengthValue `yaml:"releases" range:"0 mm to 20 m"` // level at which it releases
	Normally string        `yaml:"normally" enum:"open,closed"`   // its state at rest
	// snap-action switch or reed, which bounce differently; default mechanical
	Kind string `yaml:"kind,omitempty" enum:"mechanical,reed"`
	// resistance of contact, cable and connectors in series; default 0 ohm
	Lead q.ResistanceValue `yaml:"lead,omitempty" range:"0 ohm to 100 kohm"`
	// across the contact, of a damp connector; none when not given
	Leak q.ResistanceValue `yaml:"leak,omitempty" range:"100 ohm to 100000 Mohm"`
	// the return wire that it shares with coils; a wire of its own when not given
	Return *SharedReturn `yaml:"return,omitempty"`
}

// LowWater reports whether a contact watches for low water, and not for high water.
func (c Contact) LowWater() bool { return c.Operates.SI < c.Releases.SI }

// The kinds of contact.
const (
	Mechanical = "mechanical"
	Reed       = "reed"
)

// SharedReturn is a return wire that carries the current of coils besides that of a contact: their current lifts it,
// and it leaves them less voltage. Alternating current lifts it by its root mean square.
type SharedReturn struct {
	// of the wire that is shared, besides the cables of the coils
	Resistance q.ResistanceValue `yaml:"resistance" range:"0 ohm to 1 kohm"`
	// outputs whose coils return through it; all when left out
	SharedWith []string `yaml:"shared-with,omitempty"`
}

// Slosh is how the water of a tank sloshes while its inlets run.
type Slosh struct {
	// of the crests at the wall above the mean level while water runs in; estimated from the jets of the inlets when
	// not given
	Height q.LengthValue `yaml:"height,omitempty" range:"0 mm to 1 m"`
	// share of the critical damping; default 1 %
	Damping q.FractionValue `yaml:"damping,omitempty" range:"0.01 % to 50 %"`
}

// Probe is a soil-moisture probe. Its output is given at two water contents, as volts or as the current of a 4-20 mA
// loop, and runs straight between and beyond them in what the probe feels.
type Probe struct {
	Name string `yaml:"name"` // name of the probe
	In   string `yaml:"in"`   // a bed
	// at which it feels the soil; default the middle of the root zone
	Depth q.LengthValue `yaml:"depth,omitempty" range:"5 mm to 5 m"`
	// whether it stands where drip falls, or beside that; default wetted
	Stands string `yaml:"stands,omitempty" enum:"wetted,beside"`
	// share of the bed's mean application that falls where it stands; default 100 %
	Wetting q.FractionValue `yaml:"wetting,omitempty" range:"0 % to 500 %"`
	Dry     ProbePoint      `yaml:"dry"` // the dry end of its line
	Wet     ProbePoint      `yaml:"wet"` // the wet end of its line
	// output resistance; default 1 kohm
	Source q.ResistanceValue `yaml:"source,omitempty" range:"0 ohm to 10 Mohm"`
	// what it feels: the water content itself, or the permittivity of mineral or organic soil; default linear
	Curve ProbeCurve `yaml:"curve,omitempty" enum:"linear,mineral,organic"`
	// what it puts out; default volts
	Output ProbeOutput `yaml:"output,omitempty" enum:"volts,4-20 mA"`
	// resistor at the terminal that the current of a loop passes; default 150 ohm
	Shunt q.ResistanceValue `yaml:"shunt,omitempty" range:"10 ohm to 1 kohm"`
	// of a loop: what the transmitter takes of the supply for itself; the rest drives the current through lead and
	// shunt; default 8 V
	Needs q.VoltageValue `yaml:"needs,omitempty" range:"0 V to 40 V"`
	// of its output at the terminal, rms, another value each second; default 0 V
	Noise q.VoltageValue `yaml:"noise,omitempty" range:"0 V to 1 V"`
	// of the soil around it; default 20 °C, at which it was calibrated
	Temperature q.TemperatureValue `yaml:"temperature,omitempty" range:"-40 °C to 80 °C"`
	// by how much more water it shows for each kelvin above 20 °C; default 0 %
	PerKelvin q.FractionValue `yaml:"per-kelvin,omitempty" range:"-2 % to 2 %"`
	// the mains cable that its lead lies beside; none when not given
	BesideMains *BesideMains `yaml:"beside-mains,omitempty"`
}

// ProbePoint is the output of a probe at a water content: volts, or a current.
type ProbePoint struct {
	Moisture q.FractionValue `yaml:"moisture" range:"0 % to 100 %"`       // water content by volume
	Volts    q.VoltageValue  `yaml:"volts,omitempty" range:"0 V to 60 V"` // voltage at that water content
	// current of the loop at that water content, in the place of volts
	Current q.CurrentValue `yaml:"current,omitempty" range:"3.8 mA to 20.5 mA"`
}

// ProbeCurve is what a probe feels of the water.
type ProbeCurve string

// The curves.
const (
	LinearCurve  ProbeCurve = "linear"  // the water content itself
	MineralCurve ProbeCurve = "mineral" // permittivity of mineral soil
	OrganicCurve ProbeCurve = "organic" // permittivity of peat and potting mixes
)

// ProbeOutput is how a probe puts out what it measures.
type ProbeOutput string

// The outputs.
const (
	VoltsOutput ProbeOutput = "volts"
	LoopOutput  ProbeOutput = "4-20 mA"
)

// BesideMains is a mains cable beside the lead of a probe: its alternating voltage couples a current into the lead.
type BesideMains struct {
	// over which the two lie side by side
	Length q.LengthValue  `yaml:"length" range:"0 m to 1000 m"`
	Volts  q.VoltageValue `yaml:"volts,omitempty" range:"0 V to 500 V"` // of the mains, rms; default 230 V
	// of the mains, 50 or 60 Hz and never quite; default 49.98 Hz
	Frequency q.FrequencyValue `yaml:"frequency,omitempty" range:"10 Hz to 100 Hz"`
}

// WiFi is the access point and the way to the cloud behind it.
type WiFi struct {
	// time to join and open a session; default 2 s
	Joins q.DurationValue `yaml:"joins,omitempty" range:"1 ms to 10 min"`
	// time until the controller notices a dead access point; default 6 s
	LossSeen q.DurationValue `yaml:"loss-seen,omitempty" range:"1 ms to 1 h"`
	// controller to cloud and back; default 80 ms
	RoundTrip q.DurationValue `yaml:"round-trip,omitempty" range:"0 ms to 1 min"`
}
