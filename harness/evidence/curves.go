package evidence

import (
	"math"
	"slices"
	"sort"

	"ullage/harness/console"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

const (
	panelHeight = 124.0
	curveBytes  = 3000 // of one curve's path, beyond which its columns grow wider
)

// drawPanel draws the curves of one dimension below each other's labels, and the mark if it belongs here.
func (p *picture) drawPanel(panel panel) {
	top, bottom := p.y, p.y+panelHeight
	low, high := p.extent(panel)
	s := newScale(panel.dim, low, high)
	y := func(si float64) float64 { return bottom - float64(panelHeight*s.share(si)) }
	p.text(left+4, top-8, "t", "", p.title(panel, s.unit))
	labels, shares := s.ticks()
	for i, label := range labels {
		at := bottom - float64(panelHeight*shares[i])
		p.line("g", left, at, right, at)
		p.text(left-6, at+4, "n", "end", label)
	}
	var ends []ending
	marked := p.mark != nil && slices.Contains(panel.curves, p.mark.id)
	if marked && p.mark.limited() {
		ends = append(ends, ending{y(p.mark.limit), "lx", "limit " + quantity.Format(p.mark.limit, p.mark.dim)})
	}
	for i, id := range panel.curves {
		width := 1.0
		path := p.curve(id, y, width)
		for len(path) > curveBytes && width < 16 {
			width *= 2
			path = p.curve(id, y, width)
		}
		p.raw(`<path class="c c` + digit(i) + `" d="` + string(path) + `"/>`)
		ends = append(ends, ending{y(p.trace.At(id, p.to)), "c" + digit(i), p.label(id)})
	}
	p.endings(ends, top, bottom)
	if marked {
		p.drawMarkOnCurve(y, top, bottom)
	}
	p.y = bottom
}

// title says what the curves of a panel show: their quantity where they share one, else their dimension.
func (p *picture) title(panel panel, unit string) string {
	title := console.Clean(p.trace.Signals()[panel.curves[0]].Quantity)
	for _, id := range panel.curves {
		if p.trace.Signals()[id].Quantity != title {
			title = quantity.Name(panel.dim)
		}
	}
	if unit != "" {
		title += ", " + unit
	}
	return title
}

// extent is from where to where the values of a panel go, with room for its marked limit.
func (p *picture) extent(panel panel) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	take := func(v float64) { low, high = math.Min(low, v), math.Max(high, v) }
	for _, id := range panel.curves {
		v := p.trace.View(id)
		take(v.ValueAt(p.reach.from))
		take(v.ValueAt(p.reach.until))
		for _, value := range within(v, p.reach.from, p.reach.until) {
			take(value)
		}
	}
	if m := p.mark; m != nil && m.limited() && slices.Contains(panel.curves, m.id) {
		take(m.limit)
		room, middle := 0.12*(high-low), (low+high)/2
		for _, edge := range []float64{m.limit, m.limit - m.toLimit(p)} {
			if edge == low || edge == high {
				take(edge + float64(math.Copysign(room, edge-middle)))
			}
		}
	}
	return low, high
}

// ending is the label at the right end of a curve.
type ending struct {
	y     float64
	class string // its colour
	label string
}

// endings writes the labels of curves beside their ends, moved apart where they would cover each other.
func (p *picture) endings(ends []ending, top, bottom float64) {
	const apart = 13
	sort.SliceStable(ends, func(i, j int) bool { return ends[i].y < ends[j].y })
	places := make([]float64, len(ends))
	for i, e := range ends {
		places[i] = math.Max(e.y, top+4)
		if i > 0 {
			places[i] = math.Max(places[i], places[i-1]+apart)
		}
	}
	for i := len(ends) - 1; i >= 0; i-- {
		limit := bottom - 2
		if i < len(ends)-1 {
			limit = places[i+1] - apart
		}
		places[i] = math.Min(places[i], limit)
	}
	for i, e := range ends {
		p.raw(
			`<path class="l ` + e.class + `" d="M` + number(
				right,
			) + ` ` + number(
				e.y,
			) + `L` + number(
				right+8,
			) + ` ` + number(
				places[i],
			) + `"/>`,
		)
		p.text(right+11, places[i]+4, "e "+e.class, "", e.label)
	}
}

// curve is the path of a signal through the window. Every column of the given width keeps the first, lowest, highest
// and last value in it, so that no peak is lost however many changes there are.
func (p *picture) curve(id signal.ID, y func(float64) float64, width float64) []byte {
	v := p.trace.View(id)
	held := p.trace.Signals()[id].Shape == signal.Held
	path := pathOf(width)
	last := v.ValueAt(p.from)
	path.add(p.x(p.from), y(last))
	for at, value := range within(v, p.from, p.to) {
		x := p.x(at)
		if held {
			path.add(x, y(last))
		}
		last = value
		path.add(x, y(last))
	}
	path.add(p.x(p.to), y(v.ValueAt(p.to)))
	return path.finish()
}

// path gathers points, one column of the picture at a time, and writes them as moves of tenths of a pixel.
type path struct {
	width  float64
	column int
	points []point // of the present column: first, extremes and last
	low    int     // index into points
	high   int
	out    []byte
	x, y   int // where the pen is, in tenths
	run    int // a straight move in one direction that is not written yet, in tenths
	upward bool
}

type point struct{ x, y float64 }

func pathOf(width float64) *path { return &path{width: width, column: math.MinInt} }

// add takes the next point; x never decreases.
func (p *path) add(x, y float64) {
	if column := int(x / p.width); column != p.column {
		p.flush()
		p.column = column
	}
	n := len(p.points)
	if n == 0 {
		p.points, p.low, p.high = append(p.points, point{x, y}), 0, 0
		return
	}
	// The last point goes unless it is the first or an extreme.
	if n > 1 && p.low != n-1 && p.high != n-1 {
		p.points = p.points[:n-1]
		n--
	}
	p.points = append(p.points, point{x, y})
	if y < p.points[p.low].y {
		p.low = n
	}
	if y > p.points[p.high].y {
		p.high = n
	}
	if n >= 5 {
		p.thin()
	}
}

// thin keeps first, extremes and last of the present column.
func (p *path) thin() {
	var kept []point
	low, high := 0, 0
	for i, q := range p.points {
		if i == 0 || i == p.low || i == p.high || i == len(p.points)-1 {
			if i == p.low {
				low = len(kept)
			}
			if i == p.high {
				high = len(kept)
			}
			kept = append(kept, q)
		}
	}
	p.points, p.low, p.high = append(p.points[:0], kept...), low, high
}

// flush writes the column.
func (p *path) flush() {
	for _, q := range p.points {
		p.to(tenths(q.x), tenths(q.y))
	}
	p.points = p.points[:0]
}

// to moves the pen. Moves straight on are joined.
func (p *path) to(x, y int) {
	if p.out == nil {
		p.out = append(p.out, 'M')
		p.out = appendTenths(p.out, x)
		p.out = append(p.out, ' ')
		p.out = appendTenths(p.out, y)
		p.x, p.y = x, y
		return
	}
	dx, dy := x-p.x, y-p.y
	p.x, p.y = x, y
	switch {
	case dx == 0 && dy == 0:
	case dy == 0:
		if p.upward {
			p.straight()
		}
		p.upward = false
		p.run += dx
	case dx == 0:
		if !p.upward || p.run > 0 != (dy > 0) {
			p.straight()
		}
		p.upward = true
		p.run += dy
	default:
		p.straight()
		p.out = append(p.out, 'l')
		p.out = appendTenths(p.out, dx)
		if dy > 0 {
			p.out = append(p.out, ' ')
		}
		p.out = appendTenths(p.out, dy)
	}
}

// straight writes the move that was held back.
func (p *path) straight() {
	if p.run != 0 {
		p.out = append(p.out, map[bool]byte{false: 'h', true: 'v'}[p.upward])
		p.out = appendTenths(p.out, p.run)
	}
	p.run = 0
}

func (p *path) finish() []byte {
	p.flush()
	p.straight()
	return p.out
}
