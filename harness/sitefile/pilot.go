package sitefile

import q "ullage/harness/quantity"

// Operation is what moves the disc of a valve. A pilot-operated valve is moved by its water: the coil opens or shuts a
// small hole, the difference of pressure before and behind the valve does the rest.
type Operation struct {
	// what moves the disc; default direct: the coil and the spring. Say it of every diaphragm valve
	Operates Operating `yaml:"operates,omitempty" enum:"direct,pilot"`
	// pilot: differential that lifts the disc off its seat; default 0.3 bar
	OpensAt q.PressureValue `yaml:"opens-at,omitempty" range:"0.01 bar to 2 bar"`
	// pilot: differential that presses the disc home; default 0.3 bar
	SeatsAt q.PressureValue `yaml:"seats-at,omitempty" range:"0.01 bar to 2 bar"`
	// pilot: differential at which the stroke times hold; others go with the inverse of its root; default 3 bar
	StrokesAt q.PressureValue `yaml:"strokes-at,omitempty" range:"0.1 bar to 16 bar"`
	// pilot: time in which the room over the diaphragm fills or empties when the disc turns round; default 200 ms
	PilotStroke q.DurationValue `yaml:"pilot-stroke,omitempty" range:"10 ms to 10 s"`
}

// Operating is what moves a disc.
type Operating string

// The ways.
const (
	Direct Operating = "direct" // as "": the coil lifts it, the spring shuts it, whatever the pressures are
	Pilot  Operating = "pilot"  // the water lifts it and shuts it
)

// What stands for a pilot's values that a site file leaves out.
const (
	DefaultDifferential = 0.3e5 // Pa; 0.3 to 0.5 bar are typical of pilot-operated diaphragm valves (trade data)
	DefaultStrokesAt    = 3e5   // Pa (common practice, no source)
	DefaultPilotStroke  = 0.2   // s (common practice, no source)
)

func (o *Operation) fillDefaults() {
	if o.Operates == Pilot {
		o.OpensAt.Value = o.OpensAt.Or(DefaultDifferential)
		o.SeatsAt.Value = o.SeatsAt.Or(DefaultDifferential)
		o.StrokesAt.Value = o.StrokesAt.Or(DefaultStrokesAt)
		o.PilotStroke.Value = o.PilotStroke.Or(DefaultPilotStroke)
	}
}

// operation demands that what only a pilot has stands at a valve with a pilot.
func (c *checker) operation(o *Operation) {
	if c.broken[&o.Operates] || o.Operates == Pilot {
		return
	}
	for _, p := range []any{&o.OpensAt, &o.SeatsAt, &o.StrokesAt, &o.PilotStroke} {
		if c.known(p) {
			c.wrong(p, "the disc is moved by its coil and spring", "this key at a valve with operates: pilot only")
		}
	}
}

// PipeWall is the wall of a pipe. With it the surge is computed at every valve that the pipe leads to.
type PipeWall struct {
	// of the wall; needs wall
	Material Material `yaml:"material,omitempty" enum:"polyethylene,low-density-polyethylene,cross-linked-polyethylene,pvc,copper,steel"`
	// thickness of the wall; needs material
	Wall q.LengthValue `yaml:"wall,omitempty" range:"0.1 mm to 50 mm"`
}

// Material is what a pipe is made of. Its stiffness sets the speed of a pressure wave.
type Material string

// The materials.
const (
	Polyethylene            Material = "polyethylene"              // PE 80, PE 100
	LowDensityPolyethylene  Material = "low-density-polyethylene"  // drip tube
	CrossLinkedPolyethylene Material = "cross-linked-polyethylene" // PE-X
	PVC                     Material = "pvc"                       // unplasticised
	Copper                  Material = "copper"                    // hard drawn tube
	Steel                   Material = "steel"                     // carbon and stainless
)

// wall demands both or none of its values.
func (c *checker) wall(p *Pipe) {
	switch {
	case c.broken[&p.Material] || c.broken[&p.Wall]:
	case p.Material != "" && !p.Wall.IsSet():
		c.missing(p, "wall", "the thickness of the wall that goes with the material")
	case p.Material == "" && p.Wall.IsSet():
		c.missing(p, "material", "the material that goes with the thickness of the wall")
	default:
		c.less(&p.Wall, &p.Bore, "a thickness below the bore")
	}
}
