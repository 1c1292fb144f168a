package evidence

import (
	"math"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

const (
	laneHeight    = 19.0
	barHeight     = 11.0
	chatterHeight = 6.0
	laneBytes     = 2000 // of one lane's path, beyond which gaps in it are closed
)

// drawLane draws one lane: bars while a state is on, ticks for events, the course of a disc as an area.
func (p *picture) drawLane(id signal.ID) {
	sig := p.trace.Signals()[id]
	bottom := p.y + (laneHeight+barHeight)/2
	p.text(left-6, bottom-2, "n", "end", p.label(id))
	p.line("g", left, bottom, right, bottom)
	class := "b"
	if p.mark != nil && p.mark.id == id {
		class = "b marked"
	}
	var path []byte
	switch {
	case sig.Shape == signal.Event:
		path = p.shrink(func(gap float64) []byte { return p.ticks(id, bottom, gap) })
	case sig.Dim == quantity.State:
		path = p.shrink(func(gap float64) []byte { return p.bars(id, bottom, gap) })
	default:
		path = p.shrink(func(gap float64) []byte {
			area := p.curve(id, func(v float64) float64 { return bottom - float64(barHeight*min(1, max(0, v))) }, gap)
			return append(append(area, 'V'), appendTenths(nil, tenths(bottom))...)
		})
		path = append(append(append(path, 'H'), appendTenths(nil, tenths(left))...), 'Z')
	}
	p.raw(`<path class="` + class + `" d="` + string(path) + `"/>`)
	if sig.Shape == signal.Event && sig.Dim != quantity.State && sig.Dim != quantity.None {
		p.drawPeak(id, bottom)
	}
	p.y += laneHeight
	if p.mark != nil && p.mark.id == id {
		p.drawMarkOnLane(bottom)
	}
}

// shrink draws with wider and wider gaps closed until the path is short enough.
func (p *picture) shrink(draw func(gap float64) []byte) []byte {
	gap := 0.7
	path := draw(gap)
	for len(path) > laneBytes && gap < 16 {
		gap *= 2
		path = draw(gap)
	}
	return path
}

// bars are rectangles over the stretches in which a state is not 0. One that is too short to be seen is a pixel wide;
// short ones that follow each other too closely to be seen apart become one bar, flatter than that of a lasting state.
func (p *picture) bars(id signal.ID, bottom, gap float64) []byte {
	var out []byte
	start, end := math.Inf(-1), math.Inf(-1) // of the short stretches that are not written yet
	number := 0
	flush := func() {
		height := barHeight
		if number > 1 {
			height = chatterHeight
		}
		if number > 0 {
			out = appendBar(out, start, bottom, max(1, end-start), height)
		}
		number = 0
	}
	p.stretches(id, func(from, until signal.Time) {
		x1, x2 := p.x(from), p.x(until)
		if x2-x1 > max(2, gap) {
			flush()
			out = appendBar(out, x1, bottom, x2-x1, barHeight)
			return
		}
		if number > 0 && x1-end > max(1, gap) {
			flush()
		}
		if number == 0 {
			start = x1
		}
		end = x2
		number++
	})
	flush()
	return out
}

// stretches calls with every stretch of the window in which a state is not 0.
func (p *picture) stretches(id signal.ID, call func(from, until signal.Time)) {
	v := p.trace.View(id)
	on, since := v.ValueAt(p.from) != 0, p.from
	for at, value := range within(v, p.from, p.to) {
		if now := value != 0; now != on {
			if on {
				call(since, at)
			}
			on, since = now, at
		}
	}
	if on {
		call(since, p.to)
	}
}

// ticks are the moments of an event.
func (p *picture) ticks(id signal.ID, bottom, gap float64) []byte {
	var out []byte
	last := -1.0
	for at := range within(p.trace.View(id), p.from-1, p.to) {
		if x := p.x(at); last < 0 || x-last > gap {
			out = appendBar(out, x-1, bottom, 2, barHeight)
			last = x
		}
	}
	return out
}

// drawPeak writes the largest value of an event that measures something, a surge say, beside its tick.
func (p *picture) drawPeak(id signal.ID, bottom float64) {
	peak, peaked := math.Inf(-1), signal.Never
	for at, value := range within(p.trace.View(id), p.from-1, p.to) {
		if peaked == signal.Never || value > peak {
			peak, peaked = value, at
		}
	}
	if peaked == signal.Never {
		return
	}
	x, anchor := p.x(peaked)+4, "start"
	if x > (left+right)/2 {
		x, anchor = x-8, "end"
	}
	p.text(x, bottom-2, "n", anchor, quantity.FormatIn(peak, p.trace.Signals()[id].Dim, quantity.Metric))
}

// appendBar writes a rectangle that stands on bottom.
func appendBar(b []byte, x, bottom, width, height float64) []byte {
	b = append(b, 'M')
	b = appendTenths(b, tenths(x))
	b = append(b, ' ')
	b = appendTenths(b, tenths(bottom))
	b = append(b, 'v')
	b = appendTenths(b, -tenths(height))
	b = append(b, 'h')
	b = appendTenths(b, tenths(width))
	b = append(b, 'v')
	b = appendTenths(b, tenths(height))
	return append(b, 'z')
}
