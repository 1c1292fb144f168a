package beds

import (
	"ullage/fakes/internal/soil"
	"ullage/fakes/site/internal/device"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// course is the soil of a bed in its present step.
type course struct {
	now, ahead   *soil.Column // at the two ends of the step
	since, until signal.Time
}

// goOn makes the end of the step the beginning of the next.
func (c *course) goOn(at signal.Time) {
	c.now, c.ahead = c.ahead, c.now
	c.since, c.until = at, at
}

// Place is where a probe stands in a bed. Where another share of the water falls than on the mean of the bed, or has
// once fallen, the soil has a column of its own; it is a spot, whose water does not count in that of the bed.
type Place struct {
	// Moved is called when the soil has begun to run on along another straight line.
	Moved func(at signal.Time)

	bed        *course
	spec       sitefile.Probe
	wetting    float64 // knob: by which what falls there differs from what the site file says
	now, ahead *soil.Column
	line       device.Line
}

// openPlace declares the place of a probe in a bed. Where other water begins to fall, the bed begins another step:
// changed ends the present step, does what it is given, and begins the next.
func openPlace(bench *device.Bench, bed *course, spec sitefile.Probe, changed func(signal.Time, func())) *Place {
	p := &Place{Moved: func(signal.Time) {}, bed: bed, spec: spec, line: bench.Line(signal.Probe(spec.Name).Moisture())}
	bench.Offer(fault.Knob{Device: spec.Name, Kind: "probe", Name: "wetting", Dim: quantity.Fraction, Max: 1, Rest: 1,
		Join: fault.Multiply},
		&p.wetting, func(at signal.Time) { changed(at, p.part) })
	p.part()
	return p
}

// share is that of the mean application that falls at the place.
func (p *Place) share() float64 { return p.spec.Wetting.SI * p.wetting }

// part gives the place a column of its own from now on where other water falls.
func (p *Place) part() {
	if p.now == nil && p.share() != 1 {
		p.now, p.ahead = p.bed.now.Twin(), p.bed.now.Twin()
	}
}

// column is the soil at the place at the beginning of the bed's step, and then that at its end.
func (p *Place) column() *soil.Column {
	if p.now != nil {
		return p.now
	}
	return p.bed.now
}

func (p *Place) then() *soil.Column {
	if p.ahead != nil {
		return p.ahead
	}
	return p.bed.ahead
}

// At is the water content that the probe feels at a moment of the bed's step, and its change per second.
func (p *Place) At(moment signal.Time) (moisture, slope float64) {
	moisture = p.column().At(p.spec.Depth.SI)
	if long := (p.bed.until - p.bed.since).Seconds(); long > 0 {
		slope = (p.then().At(p.spec.Depth.SI) - moisture) / long
	}
	return moisture + float64(slope*(moment-p.bed.since).Seconds()), slope
}

// look takes a column of its own to the end of the bed's step.
func (p *Place) look(asked soil.Demand) {
	p.again((p.bed.until - p.bed.since).Seconds(), asked)
	p.line.Anchor()
}

// again takes a column of its own through seconds from the beginning of the bed's step.
func (p *Place) again(seconds float64, asked soil.Demand) {
	if p.now != nil {
		asked.Application *= p.share()
		p.ahead.Copy(p.now)
		p.ahead.Advance(seconds, asked)
	}
}

// goOn makes the end of the step the beginning of the next.
func (p *Place) goOn() { p.now, p.ahead = p.ahead, p.now }
