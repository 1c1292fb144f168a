package outcome

import (
	"math"

	"ullage/harness/signal"
)

// reading is the robustness of one condition over one step of the run: the open span since the moment before, and the
// moment itself. Where the condition has no value (before the first change of its signal, between events) it is NaN,
// which no comparison finds true.
type reading struct {
	from, to  float64 // along the span, straight from just after the moment before to just before this one
	low, high float64 // at the moment; they differ only where a linear signal jumps or several events meet
	last      float64 // what the moment leaves behind
	turns     int     // how often the condition turned true at the moment
}

// along reports whether the condition holds on the span. Where a linear course changes sign there is a moment, rounded
// up to the nanosecond; what it is just after the moment before therefore decides.
func (r reading) along() bool { return r.from > 0 || r.from == 0 && r.to >= 0 }

// here reports whether the condition holds at the moment.
func (r reading) here() bool { return r.high >= 0 }

// vertex is what one signal does at one moment, as robustness.
type vertex struct {
	at        signal.Time
	first     float64
	low, high float64
	last      float64
	turns     int
}

// course follows the robustness of one condition from change to change.
type course struct {
	subject
	edges bool // also makes a vertex where a linear course crosses zero
	queue []vertex
	head  int

	known  signal.Time // a linear course is known up to its last vertex
	begun  bool
	before vertex  // the last vertex that was used
	now    float64 // robustness just after the last step

	truth bool // after the last change that was put
	state vertex
}

// held reports whether the course keeps its value between vertices. A linear signal that is asked for on and off is
// held too: it is on while it is not at zero, which is known of a span only at its end.
func (c *course) held() bool { return c.shape == signal.Held || c.lagging() }

func (c *course) lagging() bool { return c.shape == signal.Linear && !c.numeric() }

func newCourse(s subject, edges bool) course {
	return course{subject: s, edges: edges && s.shape == signal.Linear && s.numeric(), now: math.NaN(),
		state: vertex{last: math.NaN()}}
}

// put takes one change of the signal. The changes of one moment become one vertex: of a held signal its last value, of
// a linear one every value, of an event every occurrence that meets the condition.
func (c *course) put(at signal.Time, value float64) {
	switch {
	case c.lagging():
		c.lag(at, value)
	case c.shape == signal.Held:
		c.hold(at, c.robustness(value))
	case c.shape == signal.Linear:
		c.line(at, c.robustness(value))
	default:
		c.occur(at, value)
	}
	c.known, c.begun = at, true
}

// tail is the vertex at a moment, made if it is not there yet; fresh tells that it was made.
func (c *course) tail(at signal.Time) (v *vertex, fresh bool) {
	if n := len(c.queue); n > c.head && c.queue[n-1].at == at {
		return &c.queue[n-1], false
	}
	if 2*c.head >= len(c.queue) {
		c.queue, c.head = c.queue[:copy(c.queue, c.queue[c.head:])], 0
	}
	c.queue = append(c.queue, vertex{at: at})
	return &c.queue[len(c.queue)-1], true
}

// hold takes the settled value of a held signal: a later one of the same moment replaces it.
func (c *course) hold(at signal.Time, r float64) {
	v, fresh := c.tail(at)
	if fresh {
		c.truth = c.state.last >= 0
	}
	*v = vertex{at: at, first: r, low: r, high: r, last: r}
	if r >= 0 && !c.truth {
		v.turns = 1
	}
	c.state = *v
}

// lag takes a linear signal that is asked for on and off.
func (c *course) lag(at signal.Time, value float64) {
	if c.begun && at > c.before.at {
		c.hold(c.before.at, c.robustness(math.Abs(c.before.last)+math.Abs(value)))
	}
	c.before = vertex{at: at, last: value}
}

// line takes a vertex of a linear signal, and makes one where its course crosses zero on the way.
func (c *course) line(at signal.Time, r float64) {
	if c.edges && c.begun && at > c.state.at && c.truth != (r >= 0) {
		c.cross(at, r)
	}
	v, fresh := c.tail(at)
	if fresh {
		*v = vertex{at: at, first: r, low: r, high: r}
	}
	v.low, v.high, v.last = min(v.low, r), max(v.high, r), r
	if r >= 0 && !c.truth {
		v.turns++
	}
	c.truth = r >= 0
	c.state = vertex{at: at, last: r}
}

// cross makes the vertex at which a line crosses zero, rounded up to the nanosecond.
func (c *course) cross(at signal.Time, r float64) {
	from := c.state
	share := from.last / (from.last - r)
	if !(share >= 0 && share <= 1) { // an end is infinite
		return
	}
	crossing := from.at + max(1, signal.Time(math.Ceil(float64(at-from.at)*share)))
	if crossing >= at {
		return
	}
	value := straight(from.at, from.last, at, r, crossing)
	if r >= 0 {
		value = max(value, 0)
	} else {
		value = min(value, 0)
	}
	v, _ := c.tail(crossing)
	*v = vertex{at: crossing, first: value, low: value, high: value, last: value}
	if r >= 0 {
		v.turns, c.truth = 1, true
	}
}

// occur takes one event.
func (c *course) occur(at signal.Time, value float64) {
	r := c.robustness(value)
	if !c.numeric() {
		r = math.Inf(1)
	}
	v, fresh := c.tail(at)
	if fresh {
		*v = vertex{at: at, low: r, high: r}
	}
	v.low, v.high, v.first, v.last = min(v.low, r), max(v.high, r), math.NaN(), math.NaN()
	if r >= 0 {
		v.turns++
	}
}

// close ends a course that lags.
func (c *course) close() {
	if c.lagging() && c.begun {
		c.hold(c.before.at, c.robustness(c.before.last))
	}
}

// next is the moment of the first vertex that was not used.
func (c *course) next() (signal.Time, bool) {
	if c.head == len(c.queue) {
		return 0, false
	}
	return c.queue[c.head].at, true
}

// reaches reports whether the course is known at a moment that lies before the present one.
func (c *course) reaches(at signal.Time) bool {
	switch {
	case c.shape != signal.Linear || !c.begun:
		return true
	case c.lagging():
		return at < c.known
	}
	return at <= c.known
}

// step moves to a moment and reads the course there.
func (c *course) step(at signal.Time) reading {
	r := reading{from: c.now}
	if next, ok := c.next(); ok && next == at {
		v := c.queue[c.head]
		c.head++
		r.to, r.low, r.high, r.last, r.turns = v.first, v.low, v.high, v.last, v.turns
		if c.held() || math.IsNaN(c.now) {
			r.to = c.now
		}
		if c.shape == signal.Linear && !c.lagging() {
			c.before = v
		}
		c.now = v.last
		return r
	}
	if c.shape == signal.Event {
		none := math.NaN()
		return reading{from: none, to: none, low: none, high: none, last: none}
	}
	if c.head < len(c.queue) && !c.held() && !math.IsNaN(c.now) {
		to := c.queue[c.head]
		c.now = straight(c.before.at, c.before.last, to.at, to.first, at)
	}
	r.to, r.low, r.high, r.last = c.now, c.now, c.now, c.now
	return r
}

// straight is the value at a moment of the line through two points, never outside them.
func straight(t0 signal.Time, v0 float64, t1 signal.Time, v1 float64, at signal.Time) float64 {
	switch at {
	case t0:
		return v0
	case t1:
		return v1
	}
	share := float64(at-t0) / float64(t1-t0)
	v := v0 + float64((v1-v0)*share)
	if math.IsNaN(v) { // an end is infinite
		return v0
	}
	return min(max(v, min(v0, v1)), max(v0, v1))
}
