package outcome

import (
	"math"

	"ullage/harness/signal"
)

// piece is one part of a course of robustness: the open span since the piece before, straight, and the moment at its end.
// The first piece of a course has no span.
type piece struct {
	at        signal.Time
	from, to  float64
	low, high float64
}

func (p piece) negative() piece { return piece{p.at, -p.from, -p.to, -p.high, -p.low} }

// taker is given the pieces of a course in order.
type taker interface {
	take(since signal.Time, p piece)
}

// pairTaker is given the pieces of two courses, cut at the same moments.
type pairTaker interface {
	take(since signal.Time, a, b piece)
}

// negate hands on a course with its sign changed.
type negate struct{ next taker }

func (n negate) take(since signal.Time, p piece) { n.next.take(since, p.negative()) }

// both hands a course on to two takers.
type both struct{ first, second taker }

func (b both) take(since signal.Time, p piece) {
	b.first.take(since, p)
	b.second.take(since, p)
}

// level is a course that keeps one value up to a moment and in it.
func level(at signal.Time, v float64) piece { return piece{at, v, v, v, v} }

// pair cuts two courses, which may come at different times, at their common moments.
type pair struct {
	queue [2][]piece
	since [2]signal.Time
	next  pairTaker
}

// side is one entrance of a pair.
type side struct {
	*pair
	i int
}

func (s side) take(since signal.Time, p piece) {
	if len(s.queue[s.i]) == 0 {
		s.since[s.i] = since
	}
	s.queue[s.i] = append(s.queue[s.i], p)
	for len(s.queue[0]) > 0 && len(s.queue[1]) > 0 {
		start, at := max(s.since[0], s.since[1]), min(s.queue[0][0].at, s.queue[1][0].at)
		s.next.take(start, s.cut(0, at), s.cut(1, at))
	}
}

// cut takes the next piece of one course, or its part up to a moment.
func (s *pair) cut(i int, at signal.Time) piece {
	p := s.queue[i][0]
	if p.at == at {
		s.queue[i], s.since[i] = s.queue[i][1:], at
		return p
	}
	v := straight(s.since[i], p.from, p.at, p.to, at)
	s.queue[i][0].from, s.since[i] = v, at
	return piece{at, p.from, v, v, v}
}

// lower is the smaller of two courses.
type lower struct{ next taker }

func (l lower) take(since signal.Time, a, b piece) {
	from, to := min(a.from, b.from), min(a.to, b.to)
	if when, value, ok := meet(since, a, b); ok {
		l.next.take(since, piece{when, from, value, value, value})
		since, from = when, value
	}
	l.next.take(since, piece{a.at, from, to, min(a.low, b.low), min(a.high, b.high)})
}

// meet finds the moment inside their span at which two pieces cross, rounded to the nanosecond, and their exact value
// there. Of a crossing that rounds to an end of the span nothing is told: it lies within a nanosecond of it.
func meet(since signal.Time, a, b piece) (when signal.Time, value float64, ok bool) {
	d0, d1 := a.from-b.from, a.to-b.to
	if !(d0 < 0 && d1 > 0 || d0 > 0 && d1 < 0) {
		return 0, 0, false
	}
	share := d0 / (d0 - d1)
	value = a.from + float64((a.to-a.from)*share)
	when = since + signal.Time(math.Round(float64(a.at-since)*share))
	if math.IsNaN(value) || math.IsInf(value, 0) || when <= since || when >= a.at {
		return 0, 0, false
	}
	return when, value, true
}
