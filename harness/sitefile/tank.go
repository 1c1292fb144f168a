package sitefile

import q "ullage/harness/quantity"

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

	Slosh *Slosh `yaml:"slosh,omitempty"` // how the water swings while it runs in; calm when not given
}

// Standpipe is an upright overflow pipe: water above its crest runs away through it.
type Standpipe struct {
	Crest q.LengthValue `yaml:"crest" range:"1 mm to 20 m"` // level of its upper edge
	Bore  q.LengthValue `yaml:"bore" range:"5 mm to 2 m"`   // inner diameter
}
