package site

import (
	"errors"
	"fmt"
	"math"

	"ullage/fakes/pipework"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// ErrNothingMoved says that no water moved in a run, so that there is nothing to balance.
var ErrNothingMoved = errors.New("no water moved")

// Balance weighs the water of a recorded run: what the levels, by the geometry of the tanks, and the water held by the
// beds say has been stored, against the integrals of the flows that crossed the boundary. It returns the difference as
// a share of everything that moved, or of 10 mL if less did, and ErrNothingMoved when nothing did, or less than the
// rounding of what is stored could hide. It looks at the trace alone.
func Balance(spec *sitefile.Site, trace *signal.Trace) (float64, error) {
	b := balance{trace: trace}
	for _, x := range spec.Supplies {
		b.in(b.integral(signal.Supply(x.Name).Flow()))
	}
	for _, x := range spec.Tanks {
		b.in(b.integral(signal.Tank(x.Name).Rain()))
		b.in(-b.integral(signal.Tank(x.Name).Draw()))
		b.in(-b.integral(signal.Tank(x.Name).Spill()))
		b.in(-b.integral(signal.Tank(x.Name).Leak()))
		if !math.IsInf(x.Overflow(), 1) {
			b.in(-b.integral(signal.Tank(x.Name).Overflow()))
		}
		b.store(signal.Tank(x.Name).Level(), pipework.Vessel(x).Volume)
	}
	plan, err := pipework.New(spec)
	if err != nil {
		return 0, err
	}
	for _, l := range plan.Lines {
		b.store(signal.Part(l.Gate).Air(), func(air float64) float64 { return l.Contents.Full - air })
	}
	for _, x := range spec.Pumps {
		if x.PressureSwitch.CutOut.SI > 0 {
			b.store(signal.Pump(x.Name).Stored(), func(stored float64) float64 { return stored })
		}
	}
	away := func(name, onto, into string) {
		if onto == "" && into == "" {
			b.in(-b.integral(signal.Part(name).Flow()))
		}
	}
	for _, x := range spec.Pipes {
		b.in(-b.integral(signal.Part(x.Name).Leak()))
	}
	for _, x := range spec.Outlets {
		away(x.Name, x.Onto, x.Into)
	}
	for _, x := range spec.Laterals {
		away(x.Name, x.Onto, "")
		b.in(-b.integral(signal.Part(x.Name).Leak()))
	}
	for _, x := range spec.Beds {
		b.in(b.integral(signal.Bed(x.Name).Rain()))
		b.store(signal.Bed(x.Name).Water(), func(water float64) float64 { return water })
		b.in(-b.change(signal.Bed(x.Name).Evaporated()))
		b.in(-b.change(signal.Bed(x.Name).Lost()))
	}
	if b.err != nil {
		return 0, b.err
	}
	if b.moved <= hidden*b.held+least {
		return 0, ErrNothingMoved
	}
	return (b.net - b.stored) / math.Max(b.moved, trifle), nil
}

// trifle is the volume in m³ that a difference is taken as a share of at the least: of less than 10 mL the flows that
// the solver's rounding hides would be too large a share.
const trifle = 1e-5

type balance struct {
	trace *signal.Trace
	// m³ that crossed the boundary inwards; that crossed it either way or came into a store or left it
	net, moved float64
	stored     float64 // m³ gained by what stores water
	held       float64 // m³ in it at first
	err        error
}

// hidden is the share of the water held at first below which a movement is lost in the rounding of levels, least what
// the rounding of the solver may move at a site that holds no water, m³: ten cubic millimetres.
const (
	hidden = 1e-8
	least  = 1e-8
)

// store adds a tank or bed by its signal and the volume that it holds at a value of it.
func (b *balance) store(s signal.Signal, volume func(float64) float64) {
	if v := b.view(s); v.Len() > 0 {
		first := volume(v.Value(0))
		gained := volume(v.Value(v.Len()-1)) - first
		b.stored += gained
		b.moved += math.Abs(gained) // also what only went from one to another
		b.held += first
	}
}

func (b *balance) in(volume float64) {
	b.net += volume
	b.moved += math.Abs(volume)
}

// view is the record of a signal, an empty one when the trace has none.
func (b *balance) view(s signal.Signal) *signal.View {
	id, ok := b.trace.Find(s.Name())
	if !ok {
		b.err = fmt.Errorf("water balance: the trace has no %s", s.Name())
		return &signal.View{}
	}
	return b.trace.View(id)
}

// integral is that of a linear signal over the run, by trapezoids, which is exact.
func (b *balance) integral(s signal.Signal) float64 {
	v, sum := b.view(s), 0.0
	for i := 1; i < v.Len(); i++ {
		sum += (v.Time(i) - v.Time(i-1)).Seconds() * (v.Value(i) + v.Value(i-1)) / 2
	}
	if n := v.Len(); n > 0 {
		sum += (b.trace.End() - v.Time(n-1)).Seconds() * v.Value(n-1)
	}
	return sum
}

// change is what a signal has gained over the run.
func (b *balance) change(s signal.Signal) float64 {
	v := b.view(s)
	if v.Len() == 0 {
		return 0
	}
	return v.Value(v.Len()-1) - v.Value(0)
}
