package pipework

import (
	"math"

	"ullage/fakes/water"
)

// What runs out of a line by its own weight. Water at a place can leave when there is a way to an opening on which it
// need not rise: the height over which it would have to rise is its spill level. It does leave where air comes in its
// place, which begins at openings and goes on along every pipe whose water can leave, and past level pipes, along their
// crown. An opening lets air in beside the water that leaves by it when it is wide enough, and otherwise only when
// there is a lower one by which the water leaves.

// measure works out what the line holds, and how.
func (l *Line) measure() {
	spill := l.spill(math.Inf(1))
	air, vented := l.air(spill)
	var falling stretch
	falling.low, falling.high = math.Inf(1), math.Inf(-1)
	var rest []stretch
	for _, e := range l.edges {
		a, b := e.from, e.to
		if l.ends[a].height < l.ends[b].height {
			a, b = b, a
		}
		high, low := l.ends[a].height, l.ends[b].height
		share := 0.0
		if from := spill[b]; from < high-sameHeight && (air[a] || air[b] && from <= low+sameHeight) {
			share = (high - from) / (high - low)
			falling.low, falling.high = min(falling.low, from), max(falling.high, high)
		}
		falling.volume += float64(share * e.volume)
		falling.length += float64(share * e.length)
		if share < 1 {
			rest = append(rest, between(float64((1-share)*e.volume), 0, low, high-float64(share*(high-low))))
		}
	}
	l.shape(falling, append(rest, l.before...), vented)
}

// shape makes a vessel of what falls and the rest.
func (l *Line) shape(falling stretch, rest []stretch, vented bool) {
	c := &l.Contents
	*c = Contents{Full: falling.volume}
	_, top := l.lowest()
	rises, low := 0.0, top
	for _, s := range rest {
		c.Full += s.volume
		if s.high-s.low > sameHeight && s.low < top {
			rises += s.volume
			low = min(low, s.low)
		}
	}
	switch spread := max(top-low, leastSpread); {
	case falling.volume > leastContents:
		c.Falling, c.Kv = falling.volume, falling.way(vented)
		top, c.Area = falling.high, water.Upright(falling.volume/max(falling.high-falling.low, leastSpread))
	case rises > 0:
		c.Area = water.Upright(rises / spread)
	default:
		c.Area = water.Upright(c.Full / spread)
	}
	c.base = top - c.Area.Level(c.Full)
}

// What a line's water loses on its way out.
const (
	friction             = 0.03 // factor of Darcy and Weisbach, of a smooth pipe of this size (common practice, no source)
	horizontal, vertical = 0.54, 0.35
)

// way is the flow coefficient Kv, m³/h at 1 bar, that stands for the way out of a line: with it, the water begins to
// run out as fast as its friction lets it. Where air has to come in beside the water, that takes as long as a bubble
// needs to run up the pipe, at (0.54 cos + 0.35 sin of the slope) sqrt(gravity bore) (Bendiksen 1984, between Benjamin
// 1968 for level and Dumitrescu 1943 for upright pipes; from memory, verify).
func (s stretch) way(vented bool) float64 {
	g := water.Standard().Gravity
	area, fall := s.volume/s.length, s.high-s.low
	bore := math.Sqrt(4 / math.Pi * area)
	speed := math.Sqrt(2 * g * fall / (1 + float64(friction*s.length/bore)))
	if !vented {
		slope := min(1, fall/s.length)
		bubble := (float64(horizontal*math.Sqrt(1-float64(slope*slope))) + float64(vertical*slope)) * math.Sqrt(g*bore)
		speed = min(speed, 2*bubble) // the flow of an orifice falls evenly: its mean is half of the first
	}
	return speed * area * 3600 / math.Sqrt(fall*PerMetre/1e5)
}

// spill is the spill level of each end of the line, by the openings below a height; +Inf where nothing can leave.
func (l *Line) spill(below float64) []float64 {
	spill := make([]float64, len(l.ends))
	for i := range spill {
		spill[i] = math.Inf(1)
	}
	for _, m := range l.mouths {
		if m.height < below {
			spill[m.at] = min(spill[m.at], max(m.height, l.ends[m.at].height))
		}
	}
	for again := true; again; {
		again = false
		pass := func(from, to int) {
			if s := max(spill[from], l.ends[to].height); s < spill[to] {
				spill[to], again = s, true
			}
		}
		for _, e := range l.edges {
			pass(e.from, e.to)
			pass(e.to, e.from)
		}
	}
	return spill
}

// air finds the ends of a line that air comes to, and whether it comes in elsewhere than where the water leaves.
func (l *Line) air(spill []float64) (air []bool, vented bool) {
	air = make([]bool, len(l.ends))
	free := func(end int) bool { return spill[end] <= l.ends[end].height+sameHeight }
	for _, m := range l.mouths {
		lower := m.air && l.spill(m.height - leastSpread)[m.at] <= max(m.height, l.ends[m.at].height)
		vented = vented || lower
		air[m.at] = air[m.at] || free(m.at) && (m.wide || lower)
	}
	for again := true; again; {
		again = false
		for _, e := range l.edges {
			if air[e.from] != air[e.to] && free(e.from) && free(e.to) {
				air[e.from], air[e.to], again = true, true, true
			}
		}
	}
	return air, vented
}
