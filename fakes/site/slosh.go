package site

import (
	"math"

	"ullage/fakes/contact"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// slosh is the swing of the water in a tank while its inlets run. It moves no water: the mean level, its balance and what
// goes over crest and rim are those of still water.
type slosh struct {
	contact.Wave
	tank    *tank
	inlets  []inlet
	number  float64 // wave number, rad/m
	damping float64 // share of the critical
	height  float64 // m, of the crests while water runs in; 0: still
	jets    bool    // it is estimated from the jets of the inlets
	stirred float64 // knob: m, as height
}

// inlet is an outlet that runs into a tank.
type inlet struct {
	flow *curve
	spec sitefile.Outlet
	end  float64 // m above the tank's floor
}

// deepest is the share of the depth above which crests break (common practice, no source).
const deepest = 0.4

// sameDepth is the share by which the depth may change within a step of swinging water: its period then changes by less than
// half as much.
const sameDepth = 0.05

// openSloshes offers the swing of every tank that something runs into.
func (s *Site) openSloshes(panel *fault.Panel) {
	for _, t := range s.tanks {
		x := &slosh{tank: t, number: contact.BoxWave(across(t)), damping: sitefile.DefaultDamping}
		if t.spec.Diameter.SI > 0 && !t.spec.Length.IsSet() { // upright
			x.number = contact.CylinderWave(t.spec.Diameter.SI / 2)
		}
		if w := t.spec.Slosh; w != nil {
			x.damping, x.height, x.jets = w.Damping.SI, w.Height.SI, !w.Height.IsSet()
		}
		for _, o := range s.spec.Outlets {
			if o.Into == t.spec.Name {
				x.inlets = append(x.inlets, inlet{s.flows[o.Name], o, s.plan.Heights[o.Name] - t.spec.Floor.SI})
			}
		}
		if x.inlets == nil {
			continue
		}
		s.sloshes = append(s.sloshes, x)
		s.offer(panel, fault.Knob{Device: t.spec.Name, Kind: "tank", Name: "slosh", Dim: quantity.Length, Max: 1, Join: fault.Largest},
			&x.stirred, func() { s.turn = true })
	}
}

// across is the length along which the water of a tank swings, m: the longer side, or the side of a square of the same area.
func across(t *tank) float64 {
	if side := math.Max(t.spec.Length.SI, t.spec.Width.SI); side > 0 {
		return side
	}
	return math.Sqrt(t.area)
}

// begin sets how the water swings in the step that begins at a moment. Its frequency is that of the depth there, and the step
// ends before the depth has changed by much.
func (x *slosh) begin(s *Site, at signal.Time) {
	if x.height == 0 && !x.jets && x.stirred == 0 && x.Still(at) {
		return
	}
	depth := x.tank.levelAt(0, s.dt)
	omega := contact.Swing(x.number, math.Max(depth, covers))
	x.Go(at, math.Min(x.goal(depth, omega), deepest*depth), omega, x.damping)
	if flow := math.Max(math.Abs(x.tank.start), math.Abs(x.tank.end)); !x.Still(at) && flow > 0 {
		s.shorten(at + max(1, signal.FromSeconds(math.Min(longest, sameDepth*math.Max(depth, covers)*x.tank.area/flow))))
	}
}

// goal is how high the crests grow, m: as given while water runs in, or as high as the jets make them.
func (x *slosh) goal(depth, omega float64) float64 {
	height, squares := 0.0, 0.0
	for _, in := range x.inlets {
		flow := (in.flow.start + in.flow.end) / 2
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

// speed is how fast a jet meets the water, m/s: as it leaves its opening, and what it gains on its way down. What leaves
// openings that are given by a flow at a pressure has turned that pressure into speed.
func (in inlet) speed(flow, depth float64) float64 {
	leaves := 0.0
	if bore := in.spec.Bore.SI; bore > 0 {
		leaves = flow / (math.Pi / 4 * bore * bore * float64(in.spec.Count))
	} else if rated := in.spec.Flow.SI * float64(in.spec.Count); rated > 0 {
		leaves = math.Sqrt(2*in.spec.At.SI/water.Standard().Density) * flow / rated
	}
	return math.Sqrt(float64(leaves*leaves) + float64(2*water.Standard().Gravity*math.Max(0, in.end-depth)))
}

// sloshOf is the swing of the water in a tank; nil when nothing runs into it.
func (s *Site) sloshOf(t *tank) *slosh {
	for _, x := range s.sloshes {
		if x.tank == t {
			return x
		}
	}
	return nil
}

// swings tells whether the water under a float moves at a moment or will in the present step.
func (f *float) swings(at signal.Time) bool { return f.slosh != nil && !f.slosh.Still(at) }

// mean is the level of still water at a moment of the present step, m, and how fast it rises, m/s.
func (f *float) mean(s *Site, at signal.Time) (level, rises float64) {
	t, share := f.tank, s.share(at)
	return t.levelAt(share, s.dt), (t.start + float64((t.end-t.start)*share)) / t.area
}

// aimSwinging finds when swinging water next passes the float's threshold, or when to look again: at the top of the present
// half wave, at its end, and before the waves reach the threshold at all. So each wave costs a few looks, and water whose
// crests stay away from the threshold none until they have reached it once.
func (f *float) aimSwinging(s *Site, from signal.Time) {
	threshold, rising := f.Threshold()
	past := func(at signal.Time) bool {
		mean, _ := f.mean(s, at)
		level := mean + f.slosh.Height(at)
		return rising && level >= threshold || !rising && level <= threshold
	}
	reach := f.slosh.Most(from)
	mean, _ := f.mean(s, from)
	switch gap := mean - threshold; {
	case from >= s.t1:
	case past(from):
		f.crosses = from + 1
	case gap < -reach*near:
		f.looks = min(f.tank.passes(threshold-reach, true, from, s.t0, s.dt), f.shown(s, from))
	case gap > reach*near:
		f.looks = min(f.tank.passes(threshold+reach, false, from, s.t0, s.dt), f.shown(s, from))
	default:
		f.bobbed = true
		f.looks = min(f.slosh.HalfWave(from), s.t1)
		if top := f.top(s, from, f.looks); top < f.looks {
			f.looks = top
		}
		if past(f.looks) {
			f.crosses = firstPast(from, f.looks, from+(f.looks-from)/2, past)
			f.looks = signal.Never
		}
	}
}

// shown is when a recorded level is looked at next although its waves no longer reach the threshold: until they are still,
// lest its trace ends on a crest.
func (f *float) shown(s *Site, from signal.Time) signal.Time {
	if !f.shows || !f.bobbed {
		return signal.Never
	}
	return f.top(s, from, min(f.slosh.HalfWave(from), s.t1))
}

// near keeps a threshold that the crests just reach from being looked for again and again.
const near = 1.001

// top is when the water under the float turns round between two moments of a half wave; the later one when it does not.
func (f *float) top(s *Site, from, to signal.Time) signal.Time {
	rises := func(at signal.Time) bool {
		_, mean := f.mean(s, at)
		return mean+f.slosh.Speed(at) > 0
	}
	up := rises(from)
	if to <= from+1 || rises(to) == up {
		return to
	}
	return firstPast(from, to, from+(to-from)/2, func(at signal.Time) bool { return rises(at) != up })
}

// recordLevel records how the water stands at the float, where the site file says that it swings: with its waves once they
// have reached the threshold, as still water before, when nobody follows them.
func (f *float) recordLevel(s *Site, at signal.Time) {
	if !f.shows {
		return
	}
	level, _ := f.mean(s, at)
	if f.bobbed {
		level += f.slosh.Height(at)
	}
	s.put(at, f.levelID, level)
}
