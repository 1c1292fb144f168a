package beds

import (
	"math"

	"ullage/fakes/internal/soil"
	"ullage/fakes/site/internal/device"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// bed is a planted bed with what waters it. Its soil takes steps of its own, which go on through the steps of the water
// as long as what falls on it is what the soil's step was taken with. Over a step the recorded moistures run straight.
type bed struct {
	step    *hydraulics.Step
	spec    sitefile.Bed
	watered []*device.Line // flows that fall on it
	hours   [24]float64    // evapotranspiration by hour of the day, m/s
	begins  signal.Time    // time of day at which the run begins
	rain    float64        // knob: m/s
	places  []*Place

	course
	falls   float64 // m³/s that the step was taken with
	fell    float64 // m³ that have fallen in it until counted
	counted signal.Time
	losing  bool // water drains or runs off in it

	moisture, water, lost, dried device.Line
}

const (
	strays = 5e-6              // m, depth of water by which what falls may differ from what a step was taken with
	stroke = 5 * signal.Second // a step of the water in which flows change in less time than that is part of a stroke
	even   = 1e-9              // share of what falls that is rounding
)

func openBed(bench *device.Bench, water *hydraulics.Water, spec sitefile.Bed) *bed {
	name := signal.Bed(spec.Name)
	b := &bed{step: water.Step, spec: spec, course: course{now: columnOf(spec)}, hours: hoursOf(spec),
		moisture: bench.Line(name.Moisture()), water: bench.Line(name.Water()),
		lost: bench.Line(name.Lost()), dried: bench.Line(name.Evaporated())}
	_, b.begins, _ = sitefile.Clock(water.Spec.Controller.Settings.Clock) // checked when it was read; else midnight
	b.ahead = b.now.Twin()
	for _, o := range water.Spec.Outlets {
		if o.Onto == spec.Name {
			b.watered = append(b.watered, water.FlowOf(o.Name))
		}
	}
	for _, l := range water.Spec.Laterals {
		if l.Onto == spec.Name {
			b.watered = append(b.watered, water.FlowOf(l.Name))
		}
	}
	b.watered = append(b.watered, water.Flow(name.Rain(), func() float64 { return b.rain * b.spec.Area.SI }))
	bench.Offer(fault.Knob{Device: spec.Name, Kind: "bed", Name: "rain", Dim: quantity.Depth, Max: 1e-3,
		Join: fault.Add}, &b.rain,
		func(signal.Time) { water.Jump() })
	for _, p := range water.Spec.Probes {
		if p.In == spec.Name {
			b.places = append(b.places, openPlace(bench, &b.course, p, b.rewet))
		}
	}
	b.record(0)
	return b
}

// flow is the mean flow that falls on the bed between two moments of the present step of the water.
func (b *bed) flow(from, to signal.Time) float64 {
	sum := 0.0
	for _, l := range b.watered {
		sum += (l.At(b.step.Share(from)) + l.At(b.step.Share(to))) / 2
	}
	return sum
}

// level reports whether what falls on the bed does not change in the present step of the water, but for rounding.
func (b *bed) level() bool {
	for _, l := range b.watered {
		if math.Abs(l.End-l.Start) > even*math.Max(l.Start, l.End) {
			return false
		}
	}
	return true
}

// Count adds up what has fallen until a moment of the present step of the water.
func (b *bed) Count(at signal.Time) {
	if at > b.counted {
		b.fell += float64(b.flow(b.counted, at) * (at - b.counted).Seconds())
		b.counted = at
	}
}

// Follow begins a step of the soil with a step of the water, unless the present one is still right.
func (b *bed) Follow(at signal.Time) {
	if !b.goesOn(at) {
		b.begin(at)
	}
}

// goesOn reports whether the soil's step is still right when a step of the water begins at a moment: whether what falls
// until one of them ends is what it was taken with.
func (b *bed) goesOn(at signal.Time) bool {
	if at >= b.until {
		return false
	}
	end := min(b.step.Ends(), b.until)
	falls := b.fell + float64(b.flow(at, end)*(end-at).Seconds())
	return math.Abs(falls-float64(b.falls*(end-b.since).Seconds())) <= strays*b.spec.Area.SI
}

// asked is what sky, watering and plants ask of the soil at a moment with a flow onto the bed.
func (b *bed) asked(at signal.Time, flow float64) soil.Demand {
	dries := b.hours[(b.begins+at)/signal.Hour%24]
	return soil.Demand{Application: flow / b.spec.Area.SI, Transpiration: dries * b.spec.Cover.SI,
		Evaporation: dries * (1 - b.spec.Cover.SI)}
}

// begin takes the soil's next step from a moment.
func (b *bed) begin(at signal.Time) {
	b.cut(at)
	most := signal.Hour - (b.begins+at)%signal.Hour
	switch ends := b.step.Ends(); {
	case b.level():
		b.falls = b.flow(at, at)
	case ends-at < stroke:
		b.falls = b.flow(ends, ends)
	default:
		most = min(most, ends-at)
		b.falls = b.flow(at, at+most)
	}
	b.ahead.Copy(b.now)
	asked := b.asked(at, b.falls)
	b.until = at + max(1, signal.FromSeconds(b.ahead.Step(most.Seconds(), asked)))
	for _, p := range b.places {
		p.look(asked)
	}
	for _, l := range []*device.Line{&b.moisture, &b.water, &b.dried} {
		l.Anchor()
	}
	if b.losing = b.ahead.Drained != b.now.Drained || b.ahead.RunOff != b.now.RunOff; b.losing {
		b.lost.Anchor()
		b.step.AnchorLost(at)
	}
	for _, p := range b.places {
		p.Moved(at)
	}
}

// rewet ends the soil's step at a moment, does something, and begins the next.
func (b *bed) rewet(at signal.Time, between func()) {
	b.cut(at)
	between()
	b.begin(at)
}

// cut brings the bed to a moment. When that is not the end of its step, or something else has fallen than the step was
// taken with, the step is taken again.
func (b *bed) cut(at signal.Time) {
	b.Count(at)
	if at == b.since {
		return
	}
	seconds := (at - b.since).Seconds()
	if off := b.fell - float64(b.falls*seconds); at != b.until || math.Abs(off) > even*b.fell {
		asked := b.asked(b.since, b.fell/seconds)
		b.ahead.Copy(b.now)
		b.ahead.Advance(seconds, asked)
		for _, p := range b.places {
			p.again(seconds, asked)
		}
	}
	b.now, b.ahead = b.ahead, b.now
	for _, p := range b.places {
		p.goOn()
	}
	b.since, b.until, b.fell = at, at, 0
	b.record(at)
}

// record records where the bed stands.
func (b *bed) record(at signal.Time) {
	area := b.spec.Area.SI
	b.moisture.To(at, b.now.Mean(b.spec.Roots.SI))
	b.water.To(at, b.now.Stored()*area)
	b.lost.To(at, (b.now.Drained+b.now.RunOff)*area)
	b.dried.To(at, b.now.Evaporated*area)
	for _, p := range b.places {
		p.line.To(at, p.column().At(p.spec.Depth.SI))
	}
}

// Lost is what has run off the bed or drained below its roots, m³.
func (b *bed) Lost() float64 { return (b.now.Drained + b.now.RunOff) * b.spec.Area.SI }

// Losing reports whether water runs off or drains in the present step of the soil.
func (b *bed) Losing() bool { return b.losing }
