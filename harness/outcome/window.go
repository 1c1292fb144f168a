package outcome

import (
	"math"

	"ullage/harness/signal"
)

// sliding is the smallest value of a course over a window that moves along it: at every moment t over t+first to t+last.
// Between the moments at which a vertex meets an end of the window, the smallest value is the smallest of three: the
// course at the beginning of the window, the course at its end, both straight, and the vertices between, which are kept
// in a monotone queue (Lemire 2006, Nordic Journal of Computing 13(4), 328-339; for straight pieces Donzé, Ferrère and
// Maler 2013, Computer Aided Verification). Each vertex enters and leaves once; as many are kept as the window spans.
type sliding struct {
	within stretch // relative to the moment
	next   taker

	knots   []knot // that the window may still need
	dropped int    // how many were dropped before them
	head    int    // the first knot after the beginning of the window
	tail    int    // the first knot after its end
	entered int    // the first knot that has not entered the queue
	queue   []int  // knots strictly inside, counted from the first ever, their values rising
	now     signal.Time
	begun   bool
}

// knot is a moment of a course with the values around it; after is known once the next knot is there.
type knot struct {
	at                  signal.Time
	before, here, after float64
}

func (k knot) least() float64 { return min(k.before, k.here, k.after) }

func (s *sliding) take(since signal.Time, p piece) {
	if n := len(s.knots); n > 0 {
		s.knots[n-1].after = p.from
	} else {
		s.now = p.at
	}
	s.knots = append(s.knots, knot{p.at, p.to, p.low, math.NaN()})
	if !s.begun {
		if later(s.now, s.within.last) > p.at {
			return
		}
		s.begin()
	}
	for {
		at, ok := s.event()
		if !ok || later(at, s.within.last) > p.at {
			break
		}
		s.advance(at)
	}
	s.forget()
}

// later adds a span to a moment; the sum does not run past the end of time.
func later(at, by signal.Time) signal.Time {
	if at > signal.Never-by {
		return signal.Never
	}
	return at + by
}

// begin hands on the moment at which the course begins.
func (s *sliding) begin() {
	s.begun = true
	s.head, s.tail = s.after(0, s.now+s.within.first), s.after(0, s.now+s.within.last)
	for s.entered = s.head; s.entered < s.tail && s.knots[s.entered].at < s.now+s.within.last; s.entered++ {
		s.enter(s.entered)
	}
	s.next.take(s.now, s.moment())
}

// after is the first knot from i on that lies after a moment.
func (s *sliding) after(i int, at signal.Time) int {
	for i < len(s.knots) && s.knots[i].at <= at {
		i++
	}
	return i
}

// event is the next moment at which a knot meets an end of the window.
func (s *sliding) event() (at signal.Time, ok bool) {
	if s.head < len(s.knots) {
		at, ok = s.knots[s.head].at-s.within.first, true
	}
	if s.tail < len(s.knots) {
		if t := s.knots[s.tail].at - s.within.last; !ok || t < at {
			at, ok = t, true
		}
	}
	return at, ok
}

// advance moves the window on to the next event: over the span before it, and to the moment itself.
func (s *sliding) advance(at signal.Time) {
	since := s.now
	for ; s.entered < s.tail; s.entered++ {
		s.enter(s.entered)
	}
	inside := s.smallest(at + s.within.first)
	first := piece{from: s.between(s.head, since+s.within.first), to: s.between(s.head, at+s.within.first)}
	last := piece{from: s.between(s.tail, since+s.within.last), to: s.between(s.tail, at+s.within.last)}
	s.now = at
	s.head, s.tail = s.after(s.head, at+s.within.first), s.after(s.tail, at+s.within.last)
	moment := s.moment()
	first.at, first.low, first.high = at, moment.low, moment.high
	last.at, last.low, last.high = at, moment.low, moment.high
	lower{over{inside, at, s.next}}.take(since, first, last)
}

// over keeps a course at most at a level on the span before a moment, and leaves the moment as it is.
type over struct {
	level float64
	until signal.Time
	next  taker
}

func (o over) take(since signal.Time, p piece) {
	most := level(p.at, o.level)
	if p.at == o.until {
		most.low, most.high = math.Inf(1), math.Inf(1)
	}
	lower{o.next}.take(since, p, most)
}

// between is the course at a moment of the span that ends at knot i, or its limit at an end of that span.
func (s *sliding) between(i int, at signal.Time) float64 {
	a, b := s.knots[i-1], s.knots[i]
	return straight(a.at, a.after, b.at, b.before, at)
}

// moment is the smallest value in the window of the present moment. Of a knot at an end of the window only the sides that
// lie in it count.
func (s *sliding) moment() piece {
	first, last := s.now+s.within.first, s.now+s.within.last
	v := s.smallest(first + 1)
	switch k := s.knots[s.head-1]; {
	case k.at < first:
		v = min(v, s.between(s.head, first))
	case first == last:
		v = k.here
	case s.within.firstOpen:
		v = min(v, k.after)
	default:
		v = min(v, k.here, k.after)
	}
	switch k := s.knots[s.tail-1]; {
	case first == last:
	case k.at < last:
		v = min(v, s.between(s.tail, last))
	case s.within.lastOpen:
		v = min(v, k.before)
	default:
		v = min(v, k.before, k.here)
	}
	return piece{at: s.now, low: v, high: v}
}

// enter adds a knot that lies inside the window; larger ones before it will never be the smallest again.
func (s *sliding) enter(i int) {
	v := s.knots[i].least()
	n := len(s.queue)
	for n > 0 && s.queue[n-1] >= s.dropped && s.knots[s.queue[n-1]-s.dropped].least() >= v {
		n--
	}
	s.queue = append(s.queue[:n], i+s.dropped)
}

// smallest is the smallest value of the knots in the queue from a moment on.
func (s *sliding) smallest(from signal.Time) float64 {
	for len(s.queue) > 0 {
		if i := s.queue[0] - s.dropped; i >= 0 && s.knots[i].at >= from {
			return s.knots[i].least()
		}
		s.queue = s.queue[1:]
	}
	return math.Inf(1)
}

// forget drops the knots that the window has passed.
func (s *sliding) forget() {
	if n := s.head - 1; n > 16 && 2*n > len(s.knots) {
		s.knots = s.knots[:copy(s.knots, s.knots[n:])]
		s.head, s.tail, s.entered, s.dropped = s.head-n, s.tail-n, s.entered-n, s.dropped+n
	}
}
