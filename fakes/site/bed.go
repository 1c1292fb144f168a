package site

import (
	"fmt"
	"math"

	"ullage/fakes/soil"
	"ullage/fakes/weather"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// bed is a planted bed with what waters it. Its soil takes steps of its own, which go on through the steps of the water as
// long as what falls on it is what the soil's step was taken with. Over a step the recorded moistures run straight.
type bed struct {
	spec    sitefile.Bed
	watered []*curve    // flows that fall on it
	hours   [24]float64 // evapotranspiration by hour of the day, m/s
	begins  signal.Time // time of day at which the run begins
	rain    float64     // knob: m/s
	places  []*place

	now, ahead   *soil.Column // the soil at the two ends of the present step
	since, until signal.Time  // the present step
	falls        float64      // m³/s that the step was taken with
	fell         float64      // m³ that have fallen in it until counted
	counted      signal.Time
	losing       bool // water drains or runs off in it

	moisture, water, lost, dried curve
}

const (
	cells  = 40                // of a bed, from the surface to its base
	strays = 5e-6              // m, depth of water by which what falls may differ from what a step was taken with
	stroke = 5 * signal.Second // a step of the water in which flows change in less time than that is part of a stroke
	even   = 1e-9              // share of what falls that is rounding
)

func (s *Site) openBeds(panel *fault.Panel) {
	for _, spec := range s.spec.Beds {
		b := &bed{spec: spec, now: columnOf(spec), hours: hoursOf(spec),
			moisture: newCurve(s.record, spec.Name, "moisture", quantity.Fraction),
			water:    newCurve(s.record, spec.Name, "water", quantity.Volume),
			lost:     newCurve(s.record, spec.Name, "lost", quantity.Volume),
			dried:    newCurve(s.record, spec.Name, "evaporated", quantity.Volume)}
		_, b.begins, _ = sitefile.Clock(s.spec.Controller.Settings.Clock) // checked when it was read; else midnight
		b.ahead = b.now.Twin()
		for _, o := range s.spec.Outlets {
			if o.Onto == spec.Name {
				b.watered = append(b.watered, s.flows[o.Name])
			}
		}
		for _, l := range s.spec.Laterals {
			if l.Onto == spec.Name {
				b.watered = append(b.watered, s.flows[l.Name])
			}
		}
		b.watered = append(b.watered, s.flow(spec.Name, "rain", func() float64 { return b.rain * b.spec.Area.SI }))
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "bed", Name: "rain", Dim: quantity.Depth, Max: 1e-3, Join: fault.Add}, &b.rain,
			func() { s.jump = true })
		for _, p := range s.spec.Probes {
			if p.In == spec.Name {
				b.places = append(b.places, s.newPlace(panel, b, p))
			}
		}
		s.beds = append(s.beds, b)
		b.tell(0)
	}
	s.lost = newCurve(s.record, "site", "lost", quantity.Volume)
	s.lost.to(0, 0)
}

// moistEnough refuses beds that would have to begin drier than dry air leaves their soil.
func moistEnough(spec *sitefile.Site) error {
	for _, b := range spec.Beds {
		if least := soilOf(b).Driest(); b.Starts.SI < least {
			return fmt.Errorf("bed %q starts with %s of water; expected at least %s, which dry air leaves in this soil", b.Name,
				quantity.Format(b.Starts.SI, quantity.Fraction), quantity.Format(least, quantity.Fraction))
		}
	}
	return nil
}

// soilOf is the soil that fills a bed.
func soilOf(spec sitefile.Bed) *soil.Soil {
	g := spec.Ground()
	return soil.Of(soil.VanGenuchten{Residual: g.Residual.SI, Saturated: g.Saturation.SI, AirEntry: g.AirEntry.SI, N: g.N, Conductivity: g.Conductivity.SI})
}

// columnOf is the soil of a bed as it stands at the beginning of a run.
func columnOf(spec sitefile.Bed) *soil.Column {
	c := soil.NewColumn(soilOf(spec), cells, spec.Depth.SI, spec.Roots.SI)
	if spec.Base == sitefile.FreeDrainage {
		c.Base = soil.FreeDrainage
	}
	c.Ponds = spec.Ponds.SI
	c.Settle(spec.Starts.SI, spec.Roots.SI)
	return c
}

// hoursOf is the evapotranspiration of each hour of the day, m/s.
func hoursOf(spec sitefile.Bed) (hours [24]float64) {
	mean, daylight := spec.Evapotranspiration.SI, 12.0
	if w := spec.Weather; w != nil {
		day := dayOf(*w)
		mean = day.Evapotranspiration() * w.CropCoefficient
		daylight = weather.Daylight(day.Latitude, day.OfYear)
	}
	for h := range hours {
		hours[h] = mean * weather.Course(daylight, float64(h), float64(h+1))
	}
	return hours
}

// dayOf is the weather of a site file with what it leaves out estimated as FAO-56 proposes.
func dayOf(w sitefile.Weather) weather.Day {
	d := weather.Day{OfYear: w.DayOfYear, Latitude: w.Latitude * math.Pi / 180, Altitude: w.Altitude.SI, Warmest: w.Warmest.SI, Coldest: w.Coldest.SI,
		Wind: w.Wind.SI, WindHeight: w.WindAt.SI, Radiation: w.Radiation}
	switch {
	case w.Humidity.IsSet():
		d.Vapour = weather.VapourFromMeanHumidity(d.Coldest, d.Warmest, w.Humidity.SI)
	default:
		d.Vapour = weather.Saturation(w.DewPoint.Or(w.Coldest.SI).SI)
	}
	above := weather.Extraterrestrial(d.Latitude, d.OfYear)
	switch {
	case w.Sunshine.IsSet():
		d.Radiation = weather.RadiationFromSunshine(above, w.Sunshine.SI/3600, weather.Daylight(d.Latitude, d.OfYear))
	case d.Radiation == 0:
		d.Radiation = weather.RadiationFromTemperatures(above, d.Warmest, d.Coldest)
	}
	return d
}

// flow is the mean flow that falls on the bed between two moments of the present step of the water.
func (b *bed) flow(s *Site, from, to signal.Time) float64 {
	sum := 0.0
	for _, c := range b.watered {
		sum += (c.at(s.share(from)) + c.at(s.share(to))) / 2
	}
	return sum
}

// level tells whether what falls on the bed does not change in the present step of the water, but for rounding.
func (b *bed) level() bool {
	for _, c := range b.watered {
		if math.Abs(c.end-c.start) > even*math.Max(c.start, c.end) {
			return false
		}
	}
	return true
}

// count adds up what has fallen until a moment of the present step of the water.
func (b *bed) count(s *Site, at signal.Time) {
	if at > b.counted {
		b.fell += float64(b.flow(s, b.counted, at) * (at - b.counted).Seconds())
		b.counted = at
	}
}

// goesOn tells whether the soil's step is still right when a step of the water begins at a moment: whether what falls until
// one of them ends is what it was taken with.
func (b *bed) goesOn(s *Site, at signal.Time) bool {
	if at >= b.until {
		return false
	}
	end := min(s.t1, b.until)
	falls := b.fell + float64(b.flow(s, at, end)*(end-at).Seconds())
	return math.Abs(falls-float64(b.falls*(end-b.since).Seconds())) <= strays*b.spec.Area.SI
}

// asked is what sky, watering and plants ask of the soil at a moment with a flow onto the bed.
func (b *bed) asked(at signal.Time, flow float64) soil.Demand {
	dries := b.hours[(b.begins+at)/signal.Hour%24]
	return soil.Demand{Application: flow / b.spec.Area.SI, Transpiration: dries * b.spec.Cover.SI, Evaporation: dries * (1 - b.spec.Cover.SI)}
}

// begin takes the soil's next step from a moment.
func (b *bed) begin(s *Site, at signal.Time) {
	b.cut(s, at)
	most := signal.Hour - (b.begins+at)%signal.Hour
	switch ends := s.t1; {
	case b.level():
		b.falls = b.flow(s, at, at)
	case ends-at < stroke:
		b.falls = b.flow(s, ends, ends)
	default:
		most = min(most, ends-at)
		b.falls = b.flow(s, at, at+most)
	}
	b.ahead.Copy(b.now)
	asked := b.asked(at, b.falls)
	b.until = at + max(1, signal.FromSeconds(b.ahead.Step(most.Seconds(), asked)))
	for _, p := range b.places {
		p.look(asked)
	}
	for _, c := range []*curve{&b.moisture, &b.water, &b.dried} {
		c.anchor()
	}
	if b.losing = b.ahead.Drained != b.now.Drained || b.ahead.RunOff != b.now.RunOff; b.losing {
		b.lost.anchor()
		s.recordLost(at)
		s.lost.anchor()
	}
	s.tellProbes(at, b)
}

// cut brings the bed to a moment. When that is not the end of its step, or something else has fallen than the step was
// taken with, the step is taken again.
func (b *bed) cut(s *Site, at signal.Time) {
	b.count(s, at)
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
	b.tell(at)
}

// tell records where the bed stands.
func (b *bed) tell(at signal.Time) {
	area := b.spec.Area.SI
	b.moisture.to(at, b.now.Mean(b.spec.Roots.SI))
	b.water.to(at, b.now.Stored()*area)
	b.lost.to(at, (b.now.Drained+b.now.RunOff)*area)
	b.dried.to(at, b.now.Evaporated*area)
	for _, p := range b.places {
		p.curve.to(at, p.column().At(p.spec.Depth.SI))
	}
}
