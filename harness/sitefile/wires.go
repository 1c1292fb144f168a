package sitefile

import q "ullage/harness/quantity"

// Contact is a float switch in a tank. It operates at one level and releases at another; a contact that operates below
// its release level watches for low water, one that operates above it for high water.
type Contact struct {
	Name     string            `yaml:"name"`                                     // name of the contact
	In       string            `yaml:"in"`                                       // a tank
	Operates q.LengthValue     `yaml:"operates" range:"0 mm to 20 m"`            // level at which it operates
	Releases q.LengthValue     `yaml:"releases" range:"0 mm to 20 m"`            // level at which it releases
	Normally string            `yaml:"normally" enum:"open,closed"`              // its state at rest
	Lead     q.ResistanceValue `yaml:"lead,omitempty" range:"0 ohm to 100 kohm"` // resistance of contact and cable; default 0 ohm
}

// LowWater tells a contact that watches for low water from one that watches for high water.
func (c Contact) LowWater() bool { return c.Operates.SI < c.Releases.SI }

// Probe is a capacitive soil-moisture probe: its voltage falls in a straight line from Dry to Wet.
type Probe struct {
	Name    string            `yaml:"name"`                                      // name of the probe
	In      string            `yaml:"in"`                                        // a bed
	Depth   q.LengthValue     `yaml:"depth,omitempty" range:"5 mm to 5 m"`       // at which it feels the soil; default the middle of the root zone
	Wetting q.FractionValue   `yaml:"wetting,omitempty" range:"0 % to 500 %"`    // share of the bed's mean application that falls where it stands; default 100 %
	Dry     ProbePoint        `yaml:"dry"`                                       // the dry end of its line
	Wet     ProbePoint        `yaml:"wet"`                                       // the wet end of its line
	Source  q.ResistanceValue `yaml:"source,omitempty" range:"0 ohm to 10 Mohm"` // output resistance; default 1 kohm
}

// ProbePoint is the voltage of a probe at a water content.
type ProbePoint struct {
	Moisture q.FractionValue `yaml:"moisture" range:"0 % to 100 %"` // water content by volume
	Volts    q.VoltageValue  `yaml:"volts" range:"0 V to 60 V"`     // voltage at that water content
}

// WiFi is the access point and the way to the cloud behind it.
type WiFi struct {
	Joins     q.DurationValue `yaml:"joins,omitempty" range:"1 ms to 10 min"`     // time to join and open a session; default 2 s
	LossSeen  q.DurationValue `yaml:"loss-seen,omitempty" range:"1 ms to 1 h"`    // time until the controller notices a dead access point; default 6 s
	RoundTrip q.DurationValue `yaml:"round-trip,omitempty" range:"0 ms to 1 min"` // controller to cloud and back; default 80 ms
}
