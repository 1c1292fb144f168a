package evidence

import (
	"math"
)

// arrowRoom is how long a dimension line must be to hold its arrows between the extension lines; on a shorter one they
// point inwards from outside.
const arrowRoom = 20.0

// drawMarkOnCurve draws the smallest margin in the panel of its curve: from the curve to its limit, or along the time
// to the deadline.
func (p *picture) drawMarkOnCurve(y func(float64) float64, top, bottom float64) {
	m := p.mark
	if m.at < p.from || m.at > p.to {
		return
	}
	x, value := p.x(m.at), y(p.trace.At(m.id, m.at))
	switch {
	case m.inTime:
		p.line("x", p.x(p.clamp(m.until)), top, p.x(p.clamp(m.until)), bottom)
		p.across(x, p.x(p.clamp(m.until)), value, m.label)
	case !m.limited():
		p.text(x+8, top+12, "m", "", m.label)
	default:
		limit := y(m.limit)
		value = y(m.limit - m.toLimit(p))
		p.line("x", left, limit, right, limit)
		p.upright(x, value, limit, m.label)
	}
	p.raw(`<circle class="o" cx="` + number(x) + `" cy="` + number(value) + `" r="3.5"/>`)
}

// limited reports whether the mark is the distance of a curve from a limit.
func (m *mark) limited() bool { return !m.inTime && !math.IsNaN(m.limit) && !math.IsInf(m.limit, 0) }

// toLimit is limit minus value at the mark: of the values at a jump, the one whose distance is the margin.
func (m *mark) toLimit(p *picture) float64 {
	best := m.limit - p.trace.At(m.id, m.at)
	for _, v := range around(p.trace, m.id, m.at) {
		if d := m.limit - v; math.Abs(math.Abs(d)-math.Abs(m.margin)) < math.Abs(math.Abs(best)-math.Abs(m.margin)) {
			best = d
		}
	}
	return best
}

// drawMarkOnLane draws the smallest margin below its lane, along the time to the deadline.
func (p *picture) drawMarkOnLane(bottom float64) {
	m := p.mark
	x := p.x(p.clamp(m.at))
	if !m.inTime {
		p.line("x", x, bottom-barHeight, x, bottom+8)
		p.beside(x, x, bottom+17, m.label)
		p.y += laneHeight
		return
	}
	until := p.x(p.clamp(m.until))
	p.line("x", x, bottom-barHeight-3, x, bottom+17)
	p.line("x", until, bottom-barHeight-3, until, bottom+17)
	p.across(x, until, bottom+12, m.label)
	p.y += laneHeight
}

// upright is a dimension line beside a moment, from the height of a curve to that of its limit. Where the label would
// lie on the curve it stands clear of it: beyond the limit, or beyond the curve that has crossed it.
func (p *picture) upright(x, curve, limit float64, label string) {
	side, anchor := 1.0, ""
	if x+24+textWidth(label) > right {
		side, anchor = -1, "end"
	}
	at := x + float64(16*side)
	p.line("d", x, curve, at+float64(5*side), curve)
	top, bottom := math.Min(curve, limit), math.Max(curve, limit)
	place := (top+bottom)/2 + 4
	if bottom-top >= arrowRoom {
		p.line("d", at, top, at, bottom)
		p.arrow(at, top, 0, -1)
		p.arrow(at, bottom, 0, 1)
	} else {
		p.line("d", at, top-16, at, bottom+16)
		p.arrow(at, top, 0, 1)
		p.arrow(at, bottom, 0, -1)
		place = clearOf(limit, curve)
	}
	if p.mark.margin < 0 {
		place = clearOf(curve, limit)
	}
	p.text(at+float64(8*side), place, "m", anchor, label)
}

// clearOf is where a label stands on the far side of an edge from another height.
func clearOf(edge, other float64) float64 {
	if edge > other {
		return edge + 15
	}
	return edge - 6
}

// across is a dimension line between two moments.
func (p *picture) across(x1, x2, y float64, label string) {
	from, to := math.Min(x1, x2), math.Max(x1, x2)
	if to-from >= arrowRoom {
		p.line("d", from, y, to, y)
		p.arrow(from, y, -1, 0)
		p.arrow(to, y, 1, 0)
	} else {
		p.line("d", from-16, y, to+16, y)
		p.arrow(from, y, 1, 0)
		p.arrow(to, y, -1, 0)
		from, to = from-16, to+16
	}
	if to-from > textWidth(label)+24 {
		p.text((from+to)/2, y-4, "m", "middle", label)
		return
	}
	p.beside(from, to, y+4, label)
}

// beside writes a label to the right of a stretch, or to its left where there is no room.
func (p *picture) beside(from, to, y float64, label string) {
	if to+8+textWidth(label) > right {
		p.text(from-6, y, "m", "end", label)
		return
	}
	p.text(to+6, y, "m", "", label)
}

// arrow is an arrow head with its point at a place, in one of the four directions.
func (p *picture) arrow(x, y, dx, dy float64) {
	const length, half = 7, 2.5
	backX, backY := x-float64(dx*length), y-float64(dy*length)
	sideX, sideY := float64(dy*half), float64(dx*half)
	p.raw(`<path class="a" d="M` + number(x) + ` ` + number(y) + `L` + number(backX+sideX) + ` ` + number(backY+sideY) +
		`L` + number(backX-sideX) + ` ` + number(backY-sideY) + `z"/>`)
}
