package sitefile

import (
	"math"
	"strconv"

	q "ullage/harness/quantity"
)

// Tank is an open tank: a box (Length and Width), an upright cylinder (Diameter), a cylinder on its side (Diameter and
// Length), or of any shape by a Table. Levels are measured from its floor.
type Tank struct {
	Name string `yaml:"name"` // name of the tank
	// height above the site's datum; default 0 m
	Floor q.LengthValue `yaml:"floor,omitempty" range:"-100 m to 500 m"`
	// of a box, or of a cylinder on its side, inside
	Length q.LengthValue `yaml:"length,omitempty" range:"10 mm to 100 m"`
	Width  q.LengthValue `yaml:"width,omitempty" range:"10 mm to 100 m"` // of a box, inside
	// of a cylinder, inside; it stands upright unless a length is given
	Diameter q.LengthValue `yaml:"diameter,omitempty" range:"10 mm to 100 m"`
	// volumes at levels, from the floor to the rim, in the place of length, width and diameter
	Table []TankLevel `yaml:"table,omitempty"`
	// level above which water runs over the edge
	Rim q.LengthValue `yaml:"rim" range:"10 mm to 20 m"`
	// length of the edge that it runs over; default the way round at the rim
	Edge q.LengthValue `yaml:"edge,omitempty" range:"10 mm to 1000 m"`
	// upright overflow pipe; none when not given
	Standpipe Standpipe `yaml:"standpipe,omitempty"`
	// overflow pipe through the wall; none when not given
	SideOutlet SideOutlet `yaml:"side-outlet,omitempty"`
	// overflow notch in the wall; none when not given
	Weir Weir `yaml:"weir,omitempty"`
	// roof or yard whose rain runs into it
	Catchment q.AreaValue `yaml:"catchment,omitempty" range:"0.01 m2 to 1e6 m2"`
	// share of the rain on its catchment that arrives; default 90 %, a roof
	Runoff q.FractionValue `yaml:"runoff,omitempty" range:"1 % to 100 %"`
	// fluid category of EN 1717 of the water in it; default 5, open water may carry germs
	Category int `yaml:"category,omitempty" range:"1 to 5"`
	// what is taken out of it day by day
	Draws  []Draw        `yaml:"draws,omitempty"`
	Starts q.LengthValue `yaml:"starts" range:"0 mm to 20 m"` // level at the beginning of a run
	// how the water sloshes while it runs in; calm when not given
	Slosh *Slosh `yaml:"slosh,omitempty"`
}

// TankLevel is one row of a tank's table.
type TankLevel struct {
	Level  q.LengthValue `yaml:"level" range:"0 mm to 20 m"`   // height of the water above the floor
	Volume q.VolumeValue `yaml:"volume" range:"0 L to 1e5 m3"` // water in the tank at this level
}

// Standpipe is an upright overflow pipe: water above its crest runs away through it, all round its edge. A pipe that
// goes through the wall is a SideOutlet, which carries far less at the same depth.
type Standpipe struct {
	Crest    q.LengthValue `yaml:"crest" range:"1 mm to 20 m"` // level of its upper edge
	Bore     q.LengthValue `yaml:"bore" range:"5 mm to 2 m"`   // inner diameter
	Drainage `yaml:",inline"`
}

// SideOutlet is an overflow pipe through the wall of a tank: water above its invert runs away through it.
type SideOutlet struct {
	Invert   q.LengthValue `yaml:"invert" range:"1 mm to 20 m"` // level of the lowest point of its bore, at the wall
	Bore     q.LengthValue `yaml:"bore" range:"5 mm to 2 m"`    // inner diameter, at the narrowest fitting
	Drainage `yaml:",inline"`
}

// Drainage is where an overflow pipe leads.
type Drainage struct {
	// length of the pipe from the tank to its free end; default 0 mm: what comes in runs away
	Run q.LengthValue `yaml:"run,omitempty" range:"0 mm to 200 m"`
	// from the crest or invert down to the free end; default 0 mm of a side outlet, the height of the crest of a
	// standpipe
	Fall q.LengthValue `yaml:"fall,omitempty" range:"0 mm to 100 m"`
	// flow that a drain takes which the pipe is joined to without an air break, with water up to the crest or invert;
	// any when not given
	Drain q.FlowValue `yaml:"drain,omitempty" range:"0.01 L/min to 6000 L/min"`
}

// Weir is a notch in the wall of a tank: water above its crest runs away over it. It is a rectangle of a Width, or a
// triangle of an Angle.
type Weir struct {
	Crest q.LengthValue `yaml:"crest" range:"1 mm to 20 m"` // level of its lowest point
	// of a rectangular notch
	Width q.LengthValue `yaml:"width,omitempty" range:"5 mm to 100 m"`
	// between the edges of a triangular notch, in degrees
	Angle float64 `yaml:"angle,omitempty" range:"20 to 100"`
}

// Draw is what somebody takes out of a tank at the same time every day. One that ends at an earlier time of day than it
// begins goes on over midnight.
type Draw struct {
	From string      `yaml:"from"`                                  // time of day at which it begins, as "07:00"
	To   string      `yaml:"to"`                                    // time of day at which it ends, as "07:30"
	Flow q.FlowValue `yaml:"flow" range:"0.1 mL/min to 6000 L/min"` // taken all that time, as far as there is water
}

// Crests are the levels at which water begins to run away by the overflows of the tank that there are: standpipe, side
// outlet, weir.
func (t *Tank) Crests() []float64 {
	var crests []float64
	for _, crest := range []*q.LengthValue{&t.Standpipe.Crest, &t.SideOutlet.Invert, &t.Weir.Crest} {
		if crest.IsSet() {
			crests = append(crests, crest.SI)
		}
	}
	return crests
}

// Overflow is the level at which water begins to run away by the lowest of the overflows; +Inf without any.
func (t *Tank) Overflow() float64 {
	crest := math.Inf(1)
	for _, c := range t.Crests() {
		crest = math.Min(crest, c)
	}
	return crest
}

// CategoryName is what signals call a fluid category: "category 4".
func CategoryName(category int) string { return "category " + strconv.Itoa(category) }
