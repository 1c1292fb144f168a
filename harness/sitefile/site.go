// Package sitefile reads the site file: the water, soil, wiring and power around a controller, and the controller's
// settings, written down by the person who built the site.
//
// Water runs from part to part: every part says where its water comes from, and has one outlet that bears its name. A
// tree of pipes needs no drawing; a loop is closed by a pipe that joins two outlets.
//
// The structs of this package are the one source of the format. The tag yaml holds the key, and a key without omitempty
// must be given; the tag range holds the least and the greatest value that make sense (common practice, no source); the
// comment beside a field is its description in the JSON Schema. The tag kind names the parts of a list. Read, Schema,
// Tolerances and Corner all walk them.
package sitefile

import q "ullage/harness/quantity"

// Site is one site file. Parts keep the order of the file.
type Site struct {
	// name of the site
	Name string `yaml:"site"`
	// what the site is, for its reader
	About string `yaml:"about,omitempty"`
	// of the site above the sea, which sets the pressure of the air; default 0 m
	Altitude q.LengthValue `yaml:"altitude,omitempty" range:"-400 m to 6000 m"`
	// of the water, which sets the pressure of its vapour; default 20 °C
	WaterTemperature q.TemperatureValue `yaml:"water-temperature,omitempty" range:"0 °C to 60 °C"`
	// mains connections
	Supplies []Supply `yaml:"supplies,omitempty" kind:"supply"`
	// pulse flow meters
	Meters []Meter `yaml:"meters,omitempty" kind:"meter"`
	// backflow preventers
	BackflowPreventers []BackflowPreventer `yaml:"backflow-preventers,omitempty" kind:"backflow preventer"`
	// lengths of pipe
	Pipes []Pipe `yaml:"pipes,omitempty" kind:"pipe"`
	// electrically driven valves
	Valves []Valve `yaml:"valves,omitempty" kind:"valve"`
	// valves that let water pass one way
	NonReturnValves []NonReturnValve `yaml:"non-return-valves,omitempty" kind:"non-return valve"`
	Filters         []Filter         `yaml:"filters,omitempty" kind:"filter"` // filters
	// pressure regulators
	Regulators []Regulator `yaml:"regulators,omitempty" kind:"regulator"`
	// hand valves that somebody has set
	Throttles []Throttle `yaml:"throttles,omitempty" kind:"throttle"`
	Pumps     []Pump     `yaml:"pumps,omitempty" kind:"pump"` // pumps
	// open tanks, cisterns, sumps
	Tanks []Tank `yaml:"tanks,omitempty" kind:"tank"`
	// nozzles, emitters, open pipe ends
	Outlets []Outlet `yaml:"outlets,omitempty" kind:"outlet"`
	// drip lines
	Laterals []Lateral `yaml:"laterals,omitempty" kind:"lateral"`
	// planted soil
	Beds []Bed `yaml:"beds,omitempty" kind:"bed"`
	// float switches
	Contacts []Contact `yaml:"contacts,omitempty" kind:"contact"`
	// soil-moisture probes
	Probes []Probe `yaml:"probes,omitempty" kind:"probe"`
	// access point and the way to the cloud
	WiFi WiFi `yaml:"wifi,omitempty"`
	// supply of the controller and of what it switches
	Power *Power `yaml:"power,omitempty"`
	// board, wiring and settings
	Controller Controller `yaml:"controller"`
}

// Place is where a part stands in the water: what feeds it, and how high its outlet is.
type Place struct {
	From string `yaml:"from"` // name of the part whose outlet feeds it
	// of its outlet above the site's datum; as its inlet when not given
	Height q.LengthValue `yaml:"height,omitempty" range:"-100 m to 500 m"`
}
