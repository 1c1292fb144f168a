package sitefile

import q "ullage/harness/quantity"

// Supply is a mains connection, by the two readings that anyone can take: pressure with nothing running, and pressure
// while a known flow is drawn. Between and beyond, pressure falls with flow^(1/0.54).
type Supply struct {
	Name     string          `yaml:"name"`                                     // name of the supply
	Height   q.LengthValue   `yaml:"height,omitempty" range:"-100 m to 500 m"` // above the site's datum; default 0 m
	Static   q.PressureValue `yaml:"static" range:"0.1 bar to 25 bar"`         // pressure with no flow
	Residual q.PressureValue `yaml:"residual" range:"0 bar to 25 bar"`         // pressure while the flow "at" is drawn
	At       q.FlowValue     `yaml:"at" range:"0.1 L/min to 10000 L/min"`      // flow drawn for the residual reading
	// how its pressure changes with the time of day; none when not given
	Daily []DailyPressure `yaml:"daily,omitempty"`
}

// DailyPressure is one change of a supply's pressure that comes every day. It holds until the next one, that of the
// evening through the night.
type DailyPressure struct {
	From string `yaml:"from"` // time of day at which the change begins
	// of the static pressure; the residual moves by as many bar
	Share q.FractionValue `yaml:"share" range:"0 % to 150 %"`
	// time that the change takes; at once when not given
	Over q.DurationValue `yaml:"over,omitempty" range:"1 s to 24 h"`
}

// Meter is a pulse flow meter: a contact that closes once for each PerPulse of water, for half of that volume.
type Meter struct {
	Name     string `yaml:"name"` // name of the meter
	Place    `yaml:",inline"`
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv
	PerPulse q.VolumeValue   `yaml:"per-pulse" range:"0.1 mL to 1 m3"`        // water from one pulse to the next
	// flow below which its impeller stands and nothing is counted; default by the capacity, of 3 m3/h 9.5 L/h
	StartsAt q.FlowValue `yaml:"starts-at,omitempty" range:"0 L/h to 1000 L/h"`
}

// BackflowPreventer keeps water from returning to the supply. A type that does not protect against the category that
// the site's use asks for is refused.
type BackflowPreventer struct {
	Name  string `yaml:"name"` // name of the backflow preventer
	Place `yaml:",inline"`
	Type  string `yaml:"type" enum:"EA,EB,EC,CA,GA,BA,DC"` // family and type of EN 1717
	// fluid category of EN 1717 that the site's use asks for
	Category int `yaml:"category" range:"1 to 5"`
	// flow capacity Kv, besides what its springs take
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"`
	// pressure that its springs take at any flow; default by type
	OpensAt q.PressureValue `yaml:"opens-at,omitempty" range:"0 bar to 5 bar"`
}

// Pipe is a length of pipe. Friction is Darcy-Weisbach with Roughness unless HazenWilliams gives a C.
type Pipe struct {
	Name     string `yaml:"name"` // name of the pipe
	Place    `yaml:",inline"`
	Joins    string        `yaml:"joins,omitempty"`              // closes a loop: ends at the outlet of this part
	Length   q.LengthValue `yaml:"length" range:"1 mm to 10 km"` // along the pipe
	Bore     q.LengthValue `yaml:"bore" range:"2 mm to 2 m"`     // inner diameter
	PipeWall `yaml:",inline"`
	// of the wall; default 0.007 mm, smooth plastic
	Roughness q.LengthValue `yaml:"roughness,omitempty" range:"0 mm to 5 mm"`
	// coefficient C, in the place of a roughness
	HazenWilliams float64 `yaml:"hazen-williams,omitempty" range:"20 to 160"`
	Fittings      float64 `yaml:"fittings,omitempty" range:"0 to 1000"` // sum of minor loss coefficients K
}

// NonReturnValve lets water pass one way.
type NonReturnValve struct {
	Name     string `yaml:"name"` // name of the non-return valve
	Place    `yaml:",inline"`
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv, fully open
	// pressure that its spring takes at any flow; default 0 bar
	OpensAt q.PressureValue `yaml:"opens-at,omitempty" range:"0 bar to 5 bar"`
	// time from the turn of the flow until it is seated; needed for the surge of a pump that stops before it
	ShutsAfter q.DurationValue `yaml:"shuts-after,omitempty" range:"1 ms to 10 s"`
}

// Filter is a filter with its clean capacity. One that loads up loses it in proportion to the water that has passed.
type Filter struct {
	Name     string `yaml:"name"` // name of the filter
	Place    `yaml:",inline"`
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv, clean
	// water of this site that blocks it when nobody cleans it; never when not given
	BlocksAfter q.VolumeValue `yaml:"blocks-after,omitempty" range:"1 L to 100000 m3"`
}

// Throttle is a hand valve that somebody has set.
type Throttle struct {
	Name     string `yaml:"name"` // name of the throttle
	Place    `yaml:",inline"`
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv, fully open
	Set      q.FractionValue `yaml:"set" range:"0 % to 100 %"`                // share of the capacity that it is set to
}

// Regulator holds the pressure behind it at Sets while water runs, as long as there is more before it. As the flow falls
// to nothing the pressure rises to LocksUpAt, with which its seat shuts.
type Regulator struct {
	Name     string `yaml:"name"` // name of the regulator
	Place    `yaml:",inline"`
	Sets     q.PressureValue `yaml:"sets" range:"0.05 bar to 25 bar"`         // pressure behind it while water runs
	Capacity q.CapacityValue `yaml:"capacity" range:"0.01 m3/h to 1000 m3/h"` // flow capacity Kv, fully open
	// pressure behind it with no flow, not below sets; default a fifth above sets. A preset one for drip lines that does
	// not shut has that of the supply
	LocksUpAt q.PressureValue `yaml:"locks-up-at,omitempty" range:"0.05 bar to 25 bar"`
}
