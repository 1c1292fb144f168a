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
	Throttles          []Throttle          `yaml:"throttles,omitempty" kind:"throttle"`                     // hand valves that somebody has set
	Pumps              []Pump              `yaml:"pumps,omitempty" kind:"pump"`                             // pumps
	Tanks              []Tank              `yaml:"tanks,omitempty" kind:"tank"`                             // open tanks, cisterns, sumps
	Outlets            []Outlet            `yaml:"outlets,omitempty" kind:"outlet"`                         // nozzles, emitters, open pipe ends
	Laterals           []Lateral           `yaml:"laterals,omitempty" kind:"lateral"`                       // drip lines
	Beds               []Bed               `yaml:"beds,omitempty" kind:"bed"`                               // planted soil
	Contacts           []Contact           `yaml:"contacts,omitempty" kind:"contact"`                       // float switches
	Probes             []Probe             `yaml:"probes,omitempty" kind:"probe"`                           // soil-moisture probes
	WiFi               WiFi                `yaml:"wifi,omitempty"`                                          // access point and the way to the cloud
	Power              *Power              `yaml:"power,omitempty"`                                         // supply of the controller and of what it switches
	Controller         Controller          `yaml:"controller"`                                              // board, wiring and settings
}

// Place is where a part stands in the water: what feeds it, and how high its outlet is.
type Place struct {
	From   string        `yaml:"from"`                                     // name of the part whose outlet feeds it
	Height q.LengthValue `yaml:"height,omitempty" range:"-100 m to 500 m"` // of its outlet above the site's datum; as its inlet when not given
}
