package outcome

import (
	"math"

	"ullage/harness/signal"
)

// extreme keeps the smallest value and the first moment at which it was reached.
type extreme struct {
	value float64
	at    signal.Time
	found bool
}

// offer considers a value; one that is not a number is passed over.
func (e *extreme) offer(at signal.Time, v float64) {
	if v < e.value || !e.found && !math.IsNaN(v) {
		*e = extreme{v, at, true}
	}
}

// fold is the smallest value of a course over one stretch of time, for instance over a whole observation.
type fold struct {
	extreme
	within stretch
}

// stretch is the moments between two, with or without them.
type stretch struct {
	first, last         signal.Time
	firstOpen, lastOpen bool
}

// throughout folds a course from beginning to end.
func throughout() fold {
	return fold{extreme: extreme{value: math.Inf(1)}, within: stretch{last: signal.Never}}
}

func (s stretch) has(at signal.Time) bool {
	return (at > s.first || at == s.first && !s.firstOpen) && (at < s.last || at == s.last && !s.lastOpen)
}

// clip is the part of a piece that lies in the stretch: its open span from start on, empty if ok is false, and whether
// the moment at its end belongs to it.
func (s stretch) clip(since signal.Time, p piece) (start signal.Time, part piece, ok, moment bool) {
	start, part = max(since, s.first), p
	part.at = min(p.at, s.last)
	if ok = start < part.at; ok {
		part.from = straight(since, p.from, p.at, p.to, start)
		part.to = straight(since, p.from, p.at, p.to, part.at)
	} else if s.first == s.last && since < s.first && s.first < p.at && s.has(s.first) { // a point check inside the span
		v := straight(since, p.from, p.at, p.to, s.first)
		part.low, part.high = v, v
		return start, part, false, true
	}
	return start, part, ok, s.has(p.at)
}

func (f *fold) take(since signal.Time, p piece) {
	start, part, ok, moment := f.within.clip(since, p)
	if ok {
		f.offer(start, part.from)
		f.offer(part.at, part.to)
	}
	if moment {
		f.offer(part.at, part.low)
	}
}

// guarded folds two courses, a and b, into the robustness of "a until b": over the moments t of a stretch the greatest of
// min(b at t, smallest a before t). The guard runs from the start of the courses up to, not including, t.
type guarded struct {
	within stretch
	guard  mark
	best   mark
}

// mark is a robustness, when it was found, and of which of the two courses it is.
type mark struct {
	value float64
	at    signal.Time
	of    int
}

func newGuarded(first, last signal.Time, lastOpen bool) guarded {
	return guarded{within: stretch{first: first, last: last, lastOpen: lastOpen},
		guard: mark{math.Inf(1), 0, 0}, best: mark{math.Inf(-1), 0, 1}}
}

func (g *guarded) take(since signal.Time, a, b piece) {
	if since < g.within.first && g.within.first < a.at { // cut at the start of the stretch
		at := g.within.first
		va, vb := straight(since, a.from, a.at, a.to, at), straight(since, b.from, b.at, b.to, at)
		g.take(since, piece{at, a.from, va, va, va}, piece{at, b.from, vb, vb, vb})
		since, a.from, b.from = at, va, vb
	}
	start, part, ok, moment := g.within.clip(since, b)
	if since < a.at {
		g.lower(since, a.from)
	}
	if ok {
		g.offer(start, part.from)
		side := piece{at: part.at, from: a.from, to: straight(since, a.from, a.at, a.to, part.at)}
		if when, value, ok := meet(start, side, part); ok && a.to < a.from {
			g.lower(when, value)
			g.offer(when, value)
		}
		g.lower(part.at, side.to)
		g.offer(part.at, part.to)
	}
	if since < a.at {
		g.lower(a.at, a.to)
	}
	if moment {
		g.offer(part.at, part.high)
	}
	g.lower(a.at, a.low)
}

func (g *guarded) lower(at signal.Time, a float64) {
	if a < g.guard.value {
		g.guard = mark{a, at, 0}
	}
}

// offer considers a moment of b, if it has a value there.
func (g *guarded) offer(at signal.Time, b float64) {
	if math.IsNaN(b) {
		return
	}
	m := g.guard
	if b < m.value {
		m = mark{b, at, 1}
	}
	if m.value > g.best.value {
		g.best = m
	}
}
