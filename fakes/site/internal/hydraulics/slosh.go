package hydraulics

import (
	"math"

	"ullage/fakes/internal/contact"
	"ullage/fakes/site/internal/device"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Slosh is the sloshing of the water in a tank while its inlets run. It moves no water: the mean level, its balance and
// what goes over crest and rim are those of still water.
type Slosh struct {
	contact.Wave
	step    *Step
	tank    *store
	inlets  []inlet
	number  float64 // wave number, rad/m
	damping float64 // share of the critical
	height  float64 // m, of the crests while water runs in; 0: still
	jets    bool    // it is estimated from the jets of the inlets
	stirred float64 // knob: m, as height
}

// inlet is an outlet that runs into a tank.
type inlet struct {
	flow *device.Line
	spec sitefile.Outlet
	end  float64 // m above the tank's floor
}

const (
	// deepest is the share of the depth above which crests break (common practice, no source).
	deepest = 0.4
	// sameDepth is the share by which the depth may change within a step of sloshing water: its period then changes by
	// less than half as much.
	sameDepth = 0.05
)

// openSlosh offers the sloshing of the water in a tank; nil when nothing runs into it.
func openSlosh(s *Step, spec sitefile.Tank, t *store) *Slosh {
	x := &Slosh{step: s, tank: t, number: contact.BoxWave(across(spec, t.area)), damping: sitefile.DefaultDamping}
	if spec.Diameter.SI > 0 && !spec.Length.IsSet() { // upright
		x.number = contact.CylinderWave(spec.Diameter.SI / 2)
	}
	if w := spec.Slosh; w != nil {
		x.damping, x.height, x.jets = w.Damping.SI, w.Height.SI, !w.Height.IsSet()
	}
	for _, o := range s.Spec.Outlets {
		if o.Into == spec.Name {
			x.inlets = append(x.inlets, inlet{s.flows[o.Name], o, s.plan.Heights[o.Name] - spec.Floor.SI})
		}
	}
	if x.inlets == nil {
		return nil
	}
	s.Add(x)
	s.Knobs(spec.Name, "tank", s.turns)(fault.Knob{Name: "slosh", Dim: quantity.Length, Max: 1, Join: fault.Largest},
		&x.stirred)
	return x
}

// across is the length along which the water of a tank sloshes, m: the longer side, or the side of a square of the same
// area.
func across(spec sitefile.Tank, area float64) float64 {
	if side := math.Max(spec.Length.SI, spec.Width.SI); side > 0 {
		return side
	}
	return math.Sqrt(area)
}

// bound sets how the water sloshes in the step that begins at a moment. Its frequency is that of the depth there, and
// the step ends before the depth has changed by much.
func (x *Slosh) bound(at signal.Time) {
	if x.height == 0 && !x.jets && x.stirred == 0 && x.Still(at) {
		return
	}
	s := x.step
	depth := x.tank.levelAt(0, s.dt)
	omega := contact.Swing(x.number, math.Max(depth, covers))
	x.Go(at, math.Min(x.goal(depth, omega), deepest*depth), omega, x.damping)
	if flow := math.Max(math.Abs(x.tank.start), math.Abs(x.tank.end)); !x.Still(at) && flow > 0 {
		seconds := sameDepth * math.Max(depth, covers) * x.tank.area / flow
		s.shorten(at + max(1, signal.FromSeconds(math.Min(longest, seconds))))
	}
}

// goal is how high the crests grow, m: as given while water runs in, or as high as the jets make them.
func (x *Slosh) goal(depth, omega float64) float64 {
	height, squares := 0.0, 0.0
	for _, in := range x.inlets {
		flow := (in.flow.Start + in.flow.End) / 2
		if flow <= leastFlow/100 {
			continue
		}
		height = math.Max(x.height, x.stirred)
		if x.jets {
			crest := contact.Crest(flow, in.speed(flow, depth), omega, x.damping, x.tank.area)
			squares += float64(crest * crest) // powers add
		}
	}
	return math.Max(height, math.Sqrt(squares))
}

// speed is how fast a jet meets the water, m/s: as it leaves its opening, and what it gains on its way down. What
// leaves openings that are given by a flow at a pressure has turned that pressure into speed.
func (in inlet) speed(flow, depth float64) float64 {
	leaves := 0.0
	if bore := in.spec.Bore.SI; bore > 0 {
		leaves = flow / (math.Pi / 4 * bore * bore * float64(in.spec.Count))
	} else if rated := in.spec.Flow.SI * float64(in.spec.Count); rated > 0 {
		leaves = math.Sqrt(2*in.spec.At.SI/water.Standard().Density) * flow / rated
	}
	return math.Sqrt(float64(leaves*leaves) + float64(2*water.Standard().Gravity*math.Max(0, in.end-depth)))
}
