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
	dripped []*device.Line // those of them that fall on a share of it only
	wets    float64        // that share
	hours   [24]float64    // evapotranspiration by hour of the day, m/s
	begins  signal.Time    // time of day at which the run begins
	rain    float64        // knob: m/s
	places  []*Place

	course          // of the share that drip wets, or of all
	beside  *course // of the rest; nil without
	falls   flows   // m³/s that the step was taken with
	fell    flows   // m³ that have fallen in it until counted
	counted signal.Time
	losing  bool // water drains or runs off in it

	moisture, water, lost, dried device.Line
}

// flows are what falls on the bed, all of it and what of that drips on a share.
type flows struct{ all, dripped float64 }

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
	b.wets = 1
	for _, o := range water.Spec.Outlets {
		b.onto(water, o.Name, o.Onto, o.Wets.SI)
	}
	for _, l := range water.Spec.Laterals {
		b.onto(water, l.Name, l.Onto, l.Wets.SI)
	}
	if b.wets < 1 {
		b.beside = &course{now: b.now.Twin(), ahead: b.now.Twin()}
	}
	b.watered = append(b.watered, water.Flow(name.Rain(), func() float64 { return b.rain * b.spec.Area.SI }))
	bench.Offer(fault.Knob{Device: spec.Name, Kind: "bed", Name: "rain", Dim: quantity.Depth, Max: 1e-3,
		Join: fault.Add}, &b.rain,
		func(signal.Time) { water.Jump() })
	for _, p := range water.Spec.Probes {
		if p.In == spec.Name {
			part := &b.course
			if p.Stands == "beside" && b.beside != nil {
				part = b.beside
			}
			b.places = append(b.places, openPlace(bench, part, p, b.rewet))
		}
	}
	b.record(0)
	return b
}

// onto takes over an outlet or a lateral that waters the bed. Of several that wet a share of it the greatest counts:
// they are taken to wet the same places.
func (b *bed) onto(water *hydraulics.Water, name, onto string, wets float64) {
	if onto != b.spec.Name {
		return
	}
	line := water.FlowOf(name)
	b.watered = append(b.watered, line)
	if wets < 1 {
		if len(b.dripped) == 0 {
			b.wets = 0
		}
		b.dripped, b.wets = append(b.dripped, line), math.Max(b.wets, wets)
	}
}

// flow is the mean flow that falls on the bed between two moments of the present step of the water.
func (b *bed) flow(from, to signal.Time) flows {
	mean := func(lines []*device.Line) (sum float64) {
		for _, l := range lines {
			sum += (l.At(b.step.Share(from)) + l.At(b.step.Share(to))) / 2
		}
		return sum
	}
	return flows{mean(b.watered), mean(b.dripped)}
}

// plus is the flows and so many seconds of others.
func (f flows) plus(other flows, seconds float64) flows {
	return flows{f.all + float64(other.all*seconds), f.dripped + float64(other.dripped*seconds)}
}

// strays reports whether flows differ from others by more than an amount.
func (f flows) strays(other flows, by float64) bool {
	return math.Abs(f.all-other.all) > by || math.Abs(f.dripped-other.dripped) > by
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
		b.fell = b.fell.plus(b.flow(b.counted, at), (at - b.counted).Seconds())
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
	falls := b.fell.plus(b.flow(at, end), (end - at).Seconds())
	return !falls.strays(flows{}.plus(b.falls, (end-b.since).Seconds()), strays*b.spec.Area.SI*b.wets)
}

// asked is what sky, watering and plants ask of the soil at a moment with flows onto the bed, of the share that drip
// wets or of the rest.
func (b *bed) asked(at signal.Time, falls flows, beside bool) soil.Demand {
	dries := b.hours[(b.begins+at)/signal.Hour%24]
	applied := (falls.all - falls.dripped) / b.spec.Area.SI
	if !beside {
		applied += falls.dripped / (b.spec.Area.SI * b.wets)
	}
	return soil.Demand{Application: applied, Transpiration: dries * b.spec.Cover.SI,
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
	b.until = at + max(1, signal.FromSeconds(b.ahead.Step(most.Seconds(), b.asked(at, b.falls, false))))
	if b.beside != nil {
		b.beside.until = b.until
		b.besideAdvances((b.until - at).Seconds(), at, b.falls)
	}
	for _, p := range b.places {
		p.look(b.asked(at, b.falls, p.bed == b.beside))
	}
	for _, l := range []*device.Line{&b.moisture, &b.water, &b.dried} {
		l.Anchor()
	}
	b.losing = b.losesIn(&b.course) || b.beside != nil && b.losesIn(b.beside)
	if b.losing {
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
	if at != b.until || b.fell.strays(flows{}.plus(b.falls, seconds), even*b.fell.all) {
		fell := flows{}.plus(b.fell, 1/seconds)
		b.ahead.Copy(b.now)
		b.ahead.Advance(seconds, b.asked(b.since, fell, false))
		if b.beside != nil {
			b.besideAdvances(seconds, b.since, fell)
		}
		for _, p := range b.places {
			p.again(seconds, b.asked(b.since, fell, p.bed == b.beside))
		}
	}
	b.goOn(at)
	if b.beside != nil {
		b.beside.goOn(at)
	}
	for _, p := range b.places {
		p.goOn()
	}
	b.fell = flows{}
	b.record(at)
}

// besideAdvances takes the soil beside what drip wets through seconds from the beginning of the step.
func (b *bed) besideAdvances(seconds float64, from signal.Time, falls flows) {
	b.beside.ahead.Copy(b.beside.now)
	b.beside.ahead.Advance(seconds, b.asked(from, falls, true))
}

// losesIn reports whether water drains or runs off in the present step of a part.
func (b *bed) losesIn(c *course) bool {
	return c.ahead.Drained != c.now.Drained || c.ahead.RunOff != c.now.RunOff
}

// mean is that of a quantity of the soil over the area.
func (b *bed) mean(of func(*soil.Column) float64) float64 {
	if b.beside == nil {
		return of(b.now)
	}
	return float64(b.wets*of(b.now)) + float64((1-b.wets)*of(b.beside.now))
}

// record records where the bed stands.
func (b *bed) record(at signal.Time) {
	area := b.spec.Area.SI
	b.moisture.To(at, b.mean(func(c *soil.Column) float64 { return c.Mean(b.spec.Roots.SI) }))
	b.water.To(at, b.mean((*soil.Column).Stored)*area)
	b.lost.To(at, b.Lost())
	b.dried.To(at, b.mean(func(c *soil.Column) float64 { return c.Evaporated })*area)
	for _, p := range b.places {
		p.line.To(at, p.column().At(p.spec.Depth.SI))
	}
}

// Lost is what has run off the bed or drained below its roots, m³.
func (b *bed) Lost() float64 {
	return b.mean(func(c *soil.Column) float64 { return c.Drained + c.RunOff }) * b.spec.Area.SI
}

// Losing reports whether water runs off or drains in the present step of the soil.
func (b *bed) Losing() bool { return b.losing }
