package site

import (
	"ullage/fakes/soil"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// place is where a probe stands in a bed. Where another share of the water falls than on the mean of the bed, or has once
// fallen, the soil has a column of its own; it is a spot, whose water does not count in that of the bed.
type place struct {
	bed        *bed
	spec       sitefile.Probe
	wetting    float64 // knob: by which what falls there differs from what the site file says
	now, ahead *soil.Column
	curve      curve
}

func (s *Site) newPlace(panel *fault.Panel, b *bed, spec sitefile.Probe) *place {
	p := &place{bed: b, spec: spec, curve: newCurve(s.record, spec.Name, "moisture", quantity.Fraction)}
	s.offer(panel, fault.Knob{Device: spec.Name, Kind: "probe", Name: "wetting", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Multiply},
		&p.wetting, func() {
			b.cut(s, s.now)
			p.part()
			b.begin(s, s.now)
		})
	p.part()
	return p
}

// share is that of the mean application that falls at the place.
func (p *place) share() float64 { return p.spec.Wetting.SI * p.wetting }

// part gives the place a column of its own from now on where other water falls.
func (p *place) part() {
	if p.now == nil && p.share() != 1 {
		p.now, p.ahead = p.bed.now.Twin(), p.bed.now.Twin()
	}
}

// placeOf is where a probe stands.
func (s *Site) placeOf(probe string) *place {
	for _, b := range s.beds {
		for _, p := range b.places {
			if p.spec.Name == probe {
				return p
			}
		}
	}
	return nil
}

// column is the soil at the place at the beginning of the bed's step, and then that at its end.
func (p *place) column() *soil.Column {
	if p.now != nil {
		return p.now
	}
	return p.bed.now
}

func (p *place) then() *soil.Column {
	if p.ahead != nil {
		return p.ahead
	}
	return p.bed.ahead
}

// at is the water content that the probe feels at a moment of the bed's step, and its change per second.
func (p *place) at(moment signal.Time) (moisture, slope float64) {
	moisture = p.column().At(p.spec.Depth.SI)
	if long := (p.bed.until - p.bed.since).Seconds(); long > 0 {
		slope = (p.then().At(p.spec.Depth.SI) - moisture) / long
	}
	return moisture + float64(slope*(moment-p.bed.since).Seconds()), slope
}

// look takes a column of its own to the end of the bed's step.
func (p *place) look(asked soil.Demand) {
	p.again((p.bed.until - p.bed.since).Seconds(), asked)
	p.curve.anchor()
}

// again takes a column of its own through seconds from the beginning of the bed's step.
func (p *place) again(seconds float64, asked soil.Demand) {
	if p.now != nil {
		asked.Application *= p.share()
		p.ahead.Copy(p.now)
		p.ahead.Advance(seconds, asked)
	}
}

// goOn makes the end of the step the beginning of the next.
func (p *place) goOn() { p.now, p.ahead = p.ahead, p.now }
