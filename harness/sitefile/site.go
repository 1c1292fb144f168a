// Package sitefile reads the site file: the water, soil, wiring and power around a controller, and the controller's
// settings, written down by the person who built the site.
//
// Water runs from part to part: every part says where its water comes from, and has one outlet that bears its name. A
// tree of pipes needs no drawing; a loop is closed by a pipe that joins two outlets.
//
// The structs of this package are the one source of the format. The tag yaml holds the key, and a key without omitempty
// must be given; the tag range holds the least and the greatest value that make sense (common practice, no source); the
// comment beside a field is its description in the JSON Schema. The tag kind names the parts of a list. Read, Schema, Tolerances and Corner all walk them.
package sitefile

import q "ullage/harness/quantity"

// Site is one site file. Parts keep the order of the file.
type Site struct {
	Name               string              `yaml:"site"`                                                    // name of the site
	About              string              `yaml:"about,omitempty"`                                         // what the site is, for its reader
	Supplies           []Supply            `yaml:"supplies,omitempty" kind:"supply"`                        // mains connections
	Meters             []Meter             `yaml:"meters,omitempty" kind:"meter"`                           // pulse flow meters
	BackflowPreventers []BackflowPreventer `yaml:"backflow-preventers,omitempty" kind:"backflow preventer"` // backflow preventers
	Pipes              []Pipe              `yaml:"pipes,omitempty" kind:"pipe"`                             // lengths of pipe
	Valves             []Valve             `yaml:"valves,omitempty" kind:"valve"`                           // electrically driven valves
	NonReturnValves    []NonReturnValve    `yaml:"non-return-valves,omitempty" kind:"non-return valve"`     // valves that let water pass one way
	Filters            []Filter            `yaml:"filters,omitempty" kind:"filter"`                         // filters
	Regulators         []Regulator         `yaml:"regulators,omitempty" kind:"regulator"`                   // pressure regulators
	Pumps              []Pump              `yaml:"pumps,omitempty" kind:"pump"`                             // pumps
	Tanks              []Tank              `yaml:"tanks,omitempty" kind:"tank"`                             // open tanks, cisterns, sumps
	Outlets            []Outlet            `yaml:"outlets,omitempty" kind:"outlet"`                         // nozzles, emitters, open pipe ends
	Laterals           []Lateral           `yaml:"laterals,omitempty" kind:"lateral"`                       // drip lines
	Beds               []Bed               `yaml:"beds,omitempty" kind:"bed"`                               // planted soil
	Contacts           []Contact           `yaml:"contacts,omitempty" kind:"contact"`                       // float switches
	Probes             []Probe             `yaml:"probes,omitempty" kind:"probe"`                           // soil-moisture probes
	WiFi               WiFi                `yaml:"wifi,omitempty"`                                          // access point and the way to the cloud
	Controller         Controller          `yaml:"controller"`                                              // board, wiring and settings
}

// Place is where a part stands in the water: what feeds it, and how high its outlet is.
type Place struct {
	From   string        `yaml:"from"`                                     // name of the part whose outlet feeds it
	Height q.LengthValue `yaml:"height,omitempty" range:"-100 m to 500 m"` // of its outlet above the site's datum; as its inlet when not given
}

// Supply is a mains connection, by the two readings that anyone can take: pressure with nothing running, and pressure
// while a known flow is drawn. Between and beyond, pressure falls with flow^(1/0.54).
type Supply struct {
	Name     string          `yaml:"name"`                                     // name of the supply
	Height   q.LengthValue   `yaml:"height,omitempty" range:"-100 m to 500 m"` // above the site's datum; default 0 m
	Static   q.PressureValue `yaml:"static" range:"0.1 bar to 25 bar"`         // pressure with no flow
	Residual q.PressureValue `yaml:"residual" range:"0 bar to 25 bar"`         // pressure while the flow "at" is drawn
	At       q.FlowValue     `yaml:"at" range:"0.1 L/min to 10000 L/min"`      // flow drawn for the residual reading
}

// Meter is a pulse flow meter: a contact that closes once for each PerPulse of water, for half of that volume.
type Meter struct {
	Name     string `yaml:"name"` // name of the meter
	Place    `yaml:",inline"`
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv
	PerPulse q.VolumeValue   `yaml:"per-pulse" range:"0.1 mL to 1 m3"`        // water from one pulse to the next
}

// BackflowPreventer keeps water from returning to the supply. A type that does not protect against the category that the
// site's use asks for is refused.
type BackflowPreventer struct {
	Name     string `yaml:"name"` // name of the backflow preventer
	Place    `yaml:",inline"`
	Type     string          `yaml:"type" enum:"EA,EB,EC,CA,GA,BA,DC"`        // family and type of EN 1717
	Category int             `yaml:"category" range:"1 to 5"`                 // fluid category of EN 1717 that the site's use asks for
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv
}

// Pipe is a length of pipe. Friction is Darcy-Weisbach with Roughness unless HazenWilliams gives a C.
type Pipe struct {
	Name          string `yaml:"name"` // name of the pipe
	Place         `yaml:",inline"`
	Joins         string        `yaml:"joins,omitempty"`                            // closes a loop: ends at the outlet of this part
	Length        q.LengthValue `yaml:"length" range:"1 mm to 10 km"`               // along the pipe
	Bore          q.LengthValue `yaml:"bore" range:"2 mm to 2 m"`                   // inner diameter
	Roughness     q.LengthValue `yaml:"roughness,omitempty" range:"0 mm to 5 mm"`   // of the wall; default 0.007 mm, smooth plastic
	HazenWilliams float64       `yaml:"hazen-williams,omitempty" range:"20 to 160"` // coefficient C, in the place of a roughness
	Fittings      float64       `yaml:"fittings,omitempty" range:"0 to 1000"`       // sum of minor loss coefficients K
}

// Valve is an electrically driven valve, spring-return and normally closed.
type Valve struct {
	Name           string `yaml:"name"` // name of the valve
	Place          `yaml:",inline"`
	Capacity       q.CapacityValue   `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"`                                         // flow capacity Kv, fully open
	Opens          q.DurationValue   `yaml:"opens" range:"1 ms to 10 min"`                                                    // stroke time
	Closes         q.DurationValue   `yaml:"closes" range:"1 ms to 10 min"`                                                   // stroke time
	Characteristic Characteristic    `yaml:"characteristic,omitempty" enum:"linear,quick-opening,equal-percentage,diaphragm"` // share of the capacity at a share of the stroke; default linear
	PullIn         q.VoltageValue    `yaml:"pull-in" range:"0.1 V to 60 V"`                                                   // the coil lifts at this voltage and above
	DropOut        q.VoltageValue    `yaml:"drop-out" range:"0 V to 60 V"`                                                    // the coil lets go below this voltage
	Coil           q.ResistanceValue `yaml:"coil" range:"0.1 ohm to 1 Mohm"`                                                  // resistance of the coil
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

// NonReturnValve lets water pass one way.
type NonReturnValve struct {
	Name     string `yaml:"name"` // name of the non-return valve
	Place    `yaml:",inline"`
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv, fully open
}

// Filter is a filter with its clean capacity.
type Filter struct {
	Name     string `yaml:"name"` // name of the filter
	Place    `yaml:",inline"`
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv, clean
}

// Regulator holds the pressure behind it at Sets as long as there is more before it.
type Regulator struct {
	Name     string `yaml:"name"` // name of the regulator
	Place    `yaml:",inline"`
	Sets     q.PressureValue `yaml:"sets" range:"0.05 bar to 25 bar"`         // pressure behind it
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv, fully open
}

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

// Tank is an open tank: a box (Length and Width) or an upright cylinder (Diameter). Levels are measured from its floor.
type Tank struct {
	Name      string        `yaml:"name"`                                      // name of the tank
	Floor     q.LengthValue `yaml:"floor,omitempty" range:"-100 m to 500 m"`   // height above the site's datum; default 0 m
	Length    q.LengthValue `yaml:"length,omitempty" range:"10 mm to 100 m"`   // of a box, inside
	Width     q.LengthValue `yaml:"width,omitempty" range:"10 mm to 100 m"`    // of a box, inside
	Diameter  q.LengthValue `yaml:"diameter,omitempty" range:"10 mm to 100 m"` // of an upright cylinder, inside
	Rim       q.LengthValue `yaml:"rim" range:"10 mm to 20 m"`                 // level above which water runs over the edge
	Standpipe Standpipe     `yaml:"standpipe,omitempty"`                       // overflow pipe; none when not given
	Starts    q.LengthValue `yaml:"starts" range:"0 mm to 20 m"`               // level at the beginning of a run
}

// Standpipe is an upright overflow pipe: water above its crest runs away through it.
type Standpipe struct {
	Crest q.LengthValue `yaml:"crest" range:"1 mm to 20 m"` // level of its upper edge
	Bore  q.LengthValue `yaml:"bore" range:"5 mm to 2 m"`   // inner diameter
}

// Outlet is a number of equal openings at one place: nozzles, emitters, an open pipe end. Their flow is given at a
// pressure and follows pressure^Exponent; or Bore gives an open end. Water goes onto a bed, into a tank through an air
// gap, or away.
type Outlet struct {
	Name     string `yaml:"name"` // name of the outlet
	Place    `yaml:",inline"`
	Count    int             `yaml:"count,omitempty" range:"1 to 100000"`             // number of openings; default 1
	Flow     q.FlowValue     `yaml:"flow,omitempty" range:"0.001 L/h to 10000 L/min"` // of one opening, at the pressure "at"
	At       q.PressureValue `yaml:"at,omitempty" range:"0.01 bar to 25 bar"`         // pressure at which the flow is given
	Exponent float64         `yaml:"exponent,omitempty" range:"0.01 to 1"`            // flow follows pressure to this power; default 0.5
	Bore     q.LengthValue   `yaml:"bore,omitempty" range:"0.1 mm to 2 m"`            // inner diameter of an open pipe end, in the place of flow and at
	Onto     string          `yaml:"onto,omitempty"`                                  // a bed
	Into     string          `yaml:"into,omitempty"`                                  // a tank
	AirGap   q.LengthValue   `yaml:"air-gap,omitempty" range:"1 mm to 5 m"`           // height over the tank's rim; required with into
}

// Lateral is a number of equal drip lines side by side, each with emitters at equal spacing.
type Lateral struct {
	Name     string `yaml:"name"` // name of the drip lines
	Place    `yaml:",inline"`
	Lines    int             `yaml:"lines" range:"1 to 10000"`             // lines side by side
	Emitters int             `yaml:"emitters" range:"1 to 10000"`          // emitters on each line
	Spacing  q.LengthValue   `yaml:"spacing" range:"10 mm to 100 m"`       // from emitter to emitter
	Bore     q.LengthValue   `yaml:"bore" range:"2 mm to 1 m"`             // inner diameter of a line
	Flow     q.FlowValue     `yaml:"flow" range:"0.001 L/h to 1000 L/min"` // of one emitter, at the pressure "at"
	At       q.PressureValue `yaml:"at" range:"0.01 bar to 25 bar"`        // pressure at which the flow is given
	Exponent float64         `yaml:"exponent,omitempty" range:"0.01 to 1"` // flow follows pressure to this power; default 0.5
	Onto     string          `yaml:"onto,omitempty"`                       // a bed
}

// Bed is planted soil, as one root zone: what it holds between wilting point, field capacity and saturation.
type Bed struct {
	Name               string          `yaml:"name"`                                             // name of the bed
	Area               q.AreaValue     `yaml:"area" range:"0.01 m2 to 100 ha"`                   // planted area
	Depth              q.LengthValue   `yaml:"depth" range:"10 mm to 5 m"`                       // of the root zone
	Saturation         q.FractionValue `yaml:"saturation" range:"1 % to 99 %"`                   // water content by volume with every pore full
	FieldCapacity      q.FractionValue `yaml:"field-capacity" range:"1 % to 99 %"`               // water content by volume that drainage leaves
	WiltingPoint       q.FractionValue `yaml:"wilting-point" range:"0 % to 99 %"`                // water content by volume that plants cannot take up
	Starts             q.FractionValue `yaml:"starts" range:"0 % to 99 %"`                       // water content by volume at the beginning of a run
	Evapotranspiration q.DepthValue    `yaml:"evapotranspiration" range:"0 mm/day to 50 mm/day"` // of a well-watered bed, daily mean
	Drains             q.DurationValue `yaml:"drains" range:"1 min to 100 d"`                    // time constant of drainage above field capacity
}

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
	Name   string            `yaml:"name"`                                      // name of the probe
	In     string            `yaml:"in"`                                        // a bed
	Dry    ProbePoint        `yaml:"dry"`                                       // the dry end of its line
	Wet    ProbePoint        `yaml:"wet"`                                       // the wet end of its line
	Source q.ResistanceValue `yaml:"source,omitempty" range:"0 ohm to 10 Mohm"` // output resistance; default 1 kohm
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
