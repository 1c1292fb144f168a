package outcome

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// oracle works properties out by looking at every nanosecond of an observation. It shares no code with the monitors.
type oracle struct {
	trace      *signal.Trace
	start, end signal.Time
}

func (o oracle) shape(c Condition) (signal.ID, signal.Shape) {
	id, _ := o.trace.Find(c.Signal)
	return id, o.trace.Signals()[id].Shape
}

func (o oracle) figure(c Condition, v float64) float64 {
	switch {
	case c.Is == AtLeast:
		return v - c.Limit
	case c.Is == AtMost:
		return c.Limit - v
	case (c.Is == On) == (v != 0):
		return 1
	}
	return -1
}

// at is the robustness of a condition at a moment: smallest, greatest, and what it leaves behind. Without a value it is
// not ok.
func (o oracle) at(c Condition, t signal.Time) (low, high, after float64, ok bool) {
	id, shape := o.shape(c)
	column := o.trace.Column(id)
	if shape == signal.Event {
		low, high = math.Inf(1), math.Inf(-1)
		for i, at := range column.At {
			if at == t {
				r := o.figure(c, column.Value[i])
				if c.Is == On {
					r = 1
				}
				low, high, ok = min(low, r), max(high, r), true
			}
		}
		return low, high, math.NaN(), ok
	}
	if len(column.At) == 0 || column.At[0] > t {
		return 0, 0, 0, false
	}
	v := sample(o.trace, id, t)
	if shape == signal.Linear && (c.Is == On || c.Is == Off) { // on while it is not at zero
		is := o.figure(c, math.Abs(v.after)+math.Abs(o.next(id, t)))
		return is, is, is, true
	}
	a, b := o.figure(c, v.low), o.figure(c, v.high)
	return min(a, b), max(a, b), o.figure(c, v.after), true
}

// next is the value just before the next vertex of a signal after a moment.
func (o oracle) next(id signal.ID, t signal.Time) float64 {
	c := o.trace.Column(id)
	for i, at := range c.At {
		if at > t {
			return c.Value[i]
		}
	}
	return c.Value[len(c.At)-1]
}

func (o oracle) here(c Condition, t signal.Time) bool {
	_, high, _, ok := o.at(c, t)
	return ok && high >= 0
}

// along reports whether a condition holds from a moment on, to the next nanosecond.
func (o oracle) along(c Condition, t signal.Time) bool {
	id, shape := o.shape(c)
	_, _, after, ok := o.at(c, t)
	if !ok || shape == signal.Event {
		return false
	}
	if shape == signal.Linear && (c.Is == AtLeast || c.Is == AtMost) && after == 0 {
		return o.figure(c, sample(o.trace, id, t+1).before) >= 0
	}
	return after >= 0
}

// turns counts how often a condition turns true at a moment.
func (o oracle) turns(c Condition, t signal.Time) int {
	id, shape := o.shape(c)
	column := o.trace.Column(id)
	n := 0
	if shape == signal.Event {
		for i, at := range column.At {
			if at == t && (c.Is == On || o.figure(c, column.Value[i]) >= 0) {
				n++
			}
		}
		return n
	}
	was := false
	if _, _, after, ok := o.at(c, t-1); ok {
		was = after >= 0
	}
	sequence := []float64{}
	if shape == signal.Linear && (c.Is == AtLeast || c.Is == AtMost) {
		for i, at := range column.At {
			if at == t {
				sequence = append(sequence, o.figure(c, column.Value[i]))
			}
		}
	}
	if _, _, after, ok := o.at(c, t); ok && len(sequence) == 0 {
		sequence = append(sequence, after)
	}
	for _, r := range sequence {
		if is := r >= 0; is != was {
			was = is
			if is {
				n++
			}
		}
	}
	return n
}

// extremes are the smallest and the greatest robustness of a condition.
func (o oracle) extremes(c Condition) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	id, shape := o.shape(c)
	for t := o.start; t <= o.end; t++ {
		low, high, _, ok := o.at(c, t)
		if !ok {
			continue
		}
		least, most = min(least, low), max(most, high)
		if t < o.end && shape != signal.Event {
			v := o.figure(c, sample(o.trace, id, t+1).before)
			least, most = min(least, v), max(most, v)
		}
	}
	return least, most
}

// lasted is the longest stretch and the total of a condition, and whether it held at all.
func (o oracle) lasted(holds func(signal.Time) bool) (longest, total signal.Time) {
	run := signal.Time(0)
	for t := o.start; t < o.end; t++ {
		if run++; !holds(t) {
			run = 0
		} else {
			total++
		}
		longest = max(longest, run)
	}
	return longest, total
}

// expected is what the oracle says; margins in time are in nanoseconds.
type expected struct {
	state  State
	margin float64
}

func state(failed bool) State {
	if failed {
		return Failed
	}
	return Held
}

func (o oracle) never(c Condition) expected {
	longest, _ := o.lasted(func(t signal.Time) bool { return o.along(c, t) })
	for t := o.start; t <= o.end; t++ {
		if o.here(c, t) {
			return expected{Failed, -float64(longest)}
		}
	}
	return expected{Held, math.Inf(1)}
}

func (o oracle) together(a, b Condition) expected {
	both := func(t signal.Time) bool { return o.along(a, t) && o.along(b, t) }
	longest, _ := o.lasted(both)
	failed := longest > 0
	type interval struct{ from, to signal.Time }
	stretches := func(c Condition) (s []interval) {
		for t := o.start; t < o.end; t++ {
			if o.along(c, t) {
				s = append(s, interval{t, t + 1})
			}
		}
		if _, shape := o.shape(c); o.here(c, o.end) && (shape == signal.Held || c.Is == On || c.Is == Off) {
			s = append(s, interval{o.end, o.end})
		}
		return s
	}
	gap := math.Inf(1)
	for _, x := range stretches(a) {
		for _, y := range stretches(b) {
			gap = min(gap, float64(max(0, x.from-y.to, y.from-x.to)))
			failed = failed || x.from == o.end && y.from == o.end
		}
	}
	if failed {
		return expected{Failed, -float64(longest)}
	}
	return expected{Held, gap}
}

func (o oracle) within(event Condition, limit signal.Time, met func(signal.Time) bool,
	skip func(signal.Time) bool, first bool) expected {
	e := expected{NotExercised, math.Inf(1)}
	waiting, occurred := false, false
	for t := o.start; t <= o.end; t++ {
		if o.turns(event, t) == 0 || first && occurred {
			continue
		}
		occurred = true
		if skip != nil && skip(t) {
			continue
		}
		came := t
		for came < o.end && !met(came) {
			came++
		}
		missing := !met(came)
		waiting = waiting || missing
		e.margin = min(e.margin, float64(limit-(came-t)))
		switch {
		case came-t > limit || missing && came-t == limit:
			e.state = Failed
		case e.state != Failed:
			e.state = Held
		}
	}
	if waiting && e.state == Held {
		e.state = NotExercised
	}
	if math.IsInf(e.margin, 1) {
		e.margin = 0
	}
	return e
}

// settles looks at every occurrence: a condition that holds all the way to the deadline says nothing.
func (o oracle) settles(event Condition, limit signal.Time, c Condition, first bool) expected {
	e := expected{NotExercised, math.Inf(1)}
	waiting, occurred := false, false
	for t := o.start; t <= o.end; t++ {
		if o.turns(event, t) == 0 || first && occurred {
			continue
		}
		occurred = true
		deadline := t + limit
		if deadline > o.end {
			waiting = true
			continue
		}
		came := deadline
		if o.here(c, deadline) {
			for came > t && o.here(c, came-1) {
				came--
			}
			if came == t && o.turns(c, t) == 0 {
				continue
			}
		} else {
			for came < o.end && !o.here(c, came) {
				came++
			}
			e.state = Failed
		}
		e.margin = min(e.margin, float64(limit-(came-t)))
		if e.state != Failed {
			e.state = Held
		}
	}
	if waiting && e.state == Held {
		e.state = NotExercised
	}
	if math.IsInf(e.margin, 1) {
		e.margin = 0
	}
	return e
}

// shortest is the shortest stretch of a condition, or pause between two, that counts.
func (o oracle) shortest(c Condition, atLeast signal.Time, pauses bool) expected {
	margin, found, ran := math.Inf(1), false, false
	for from := o.start; from < o.end; {
		to := from
		for to < o.end && o.along(c, to) == o.along(c, from) {
			to++
		}
		on := o.along(c, from)
		cut := from == o.start || to == o.end
		if on != pauses && (ran || !pauses) && (!cut || to-from >= atLeast) {
			margin, found = min(margin, float64(to-from-atLeast)), true
		}
		ran = ran || on
		from = to
	}
	if !found {
		return expected{NotExercised, 0}
	}
	return expected{state(margin < 0), margin}
}

// apart is the shortest time from one occurrence to the next.
func (o oracle) apart(c Condition, atLeast signal.Time) expected {
	var times []signal.Time
	for t := o.start; t <= o.end; t++ {
		for range o.turns(c, t) {
			times = append(times, t)
		}
	}
	if n := len(times); n > 0 && o.end-times[n-1] >= atLeast {
		times = append(times, o.end)
	}
	if len(times) < 2 {
		return expected{NotExercised, 0}
	}
	margin := math.Inf(1)
	for i := range times[1:] {
		margin = min(margin, float64(times[i+1]-times[i]-atLeast))
	}
	return expected{state(margin < 0), margin}
}

func (o oracle) count(c Condition) (n float64) {
	for t := o.start; t <= o.end; t++ {
		n += float64(o.turns(c, t))
	}
	return n
}

func drawCondition(t *rapid.T, names ...string) Condition {
	c := Condition{Signal: rapid.SampledFrom(names).Draw(t, "signal"), Is: AtLeast}
	if c.Signal != "e.ring" || rapid.Bool().Draw(t, "figure?") {
		c.Is = rapid.SampledFrom([]Comparison{AtLeast, AtMost}).Draw(t, "comparison")
	} else {
		c.Is = On
	}
	switch {
	case c.Signal == "p.on" || c.Signal == "q.on", c.Signal != "e.ring" && rapid.IntRange(0, 4).Draw(t, "on/off?") == 0:
		c.Is = rapid.SampledFrom([]Comparison{On, Off}).Draw(t, "state")
	case c.Is != On:
		c.Limit = rapid.SampledFrom([]float64{-1, 0, 1, 0.3, -1.7}).Draw(t, "limit")
	}
	return c
}

// drawProperty draws a property and works it out.
func drawProperty(t *rapid.T, o oracle) (Property, expected) {
	steady := []string{"l.x", "m.x", "h.x", "p.on", "q.on"}
	any := append(steady, "e.ring")
	limit := signal.Time(rapid.IntRange(0, 40).Draw(t, "span"))
	switch rapid.IntRange(0, 11).Draw(t, "property") {
	case 0:
		c := drawCondition(t, steady...)
		if c.Is == On || c.Is == Off {
			return Never(c), o.never(c)
		}
		least, _ := o.extremes(c)
		return Always(c), expected{state(least < 0), least}
	case 1:
		c := drawCondition(t, "e.ring")
		if c.Is == On {
			n := o.count(c)
			return Never(c), expected{state(n > 0), -n}
		}
		least, _ := o.extremes(c)
		return Always(c), expected{state(least < 0), least}
	case 2:
		a, b := drawCondition(t, steady...), drawCondition(t, steady...)
		return NeverTogether(a, b), o.together(a, b)
	case 3:
		c := drawCondition(t, steady...)
		longest, total := o.lasted(func(t signal.Time) bool { return o.along(c, t) })
		if rapid.Bool().Draw(t, "in all?") {
			return TotalAtMost(c, limit), expected{state(total > limit), float64(limit - total)}
		}
		return LongestStretch(c, limit), expected{state(longest > limit), float64(limit - longest)}
	case 4:
		event, c := drawCondition(t, any...), drawCondition(t, any...)
		met := func(t signal.Time) bool { return o.turns(c, t) > 0 }
		if rapid.Bool().Draw(t, "spaced?") {
			spacing := signal.Time(rapid.IntRange(0, 60).Draw(t, "spacing"))
			muted := func(t signal.Time) bool {
				for before := max(0, t-spacing+1); before < t; before++ {
					if met(before) && !met(t) {
						return true
					}
				}
				return false
			}
			p := SpacedEventWithin(Event{event}, limit, Event{c}, spacing)
			if first := rapid.Bool().Draw(t, "first?"); first {
				return First(p), o.within(event, limit, met, muted, true)
			}
			return p, o.within(event, limit, met, muted, false)
		}
		return EventWithin(Event{event}, limit, Event{c}), o.within(event, limit, met, nil, false)
	case 5:
		event, c := drawCondition(t, any...), drawCondition(t, "h.x", "p.on", "q.on")
		want := o.within(event, limit, func(t signal.Time) bool { return o.here(c, t) },
			func(t signal.Time) bool { return o.here(c, t) && o.turns(c, t) == 0 }, false)
		return TurnsWithin(Event{event}, limit, c), want
	case 6:
		event, c := drawCondition(t, any...), drawCondition(t, "h.x", "p.on", "q.on")
		p := SettlesWithin(Event{event}, limit, c)
		if rapid.Bool().Draw(t, "first?") {
			return First(p), o.settles(event, limit, c, true)
		}
		return p, o.settles(event, limit, c, false)
	case 7:
		c, n := drawCondition(t, any...), rapid.IntRange(0, 4).Draw(t, "n")
		if spare := o.count(c) - float64(n); rapid.Bool().Draw(t, "at least?") {
			return AtLeastTimes(n, Event{c}), expected{state(spare < 0), spare}
		} else {
			return AtMostTimes(n, Event{c}), expected{state(spare > 0), -spare}
		}
	case 8:
		c := drawCondition(t, steady...)
		if rapid.Bool().Draw(t, "pauses?") {
			return ShortestPause(c, limit), o.shortest(c, limit, true)
		}
		return ShortestStretch(c, limit), o.shortest(c, limit, false)
	case 9:
		c := drawCondition(t, any...)
		return GapAtLeast(Event{c}, limit), o.apart(c, limit)
	case 10:
		c, least := drawCondition(t, any...), rapid.IntRange(0, 4).Draw(t, "least")
		most := least + rapid.IntRange(0, 4).Draw(t, "more")
		spare := min(o.count(c)-float64(least), float64(most)-o.count(c))
		return BetweenTimes(least, most, Event{c}), expected{state(spare < 0), spare}
	case 11:
		event, a, b := drawCondition(t, any...), drawCondition(t, any...), drawCondition(t, any...)
		return AnyWithin(Event{event}, limit, []Event{{a}, {b}}, 0, signal.Cloud.Alerts()), o.within(event, limit,
			func(t signal.Time) bool { return o.turns(a, t)+o.turns(b, t) > 0 }, nil, false)
	}
	name := rapid.SampledFrom([]string{"l.x", "m.x", "h.x"}).Draw(t, "signal")
	amount := float64(rapid.IntRange(-2, 4).Draw(t, "amount"))
	level := Condition{Signal: name, Is: AtLeast}
	_, most := o.extremes(level)
	_, _, reference, _ := o.at(level, o.start)
	_, _, final, _ := o.at(level, o.end)
	if _, high, _, _ := o.at(level, o.start); high == most && high > reference { // a jump at the start lies before it
		most = reference
		for t := o.start + 1; t <= o.end; t++ {
			id, _ := o.shape(level)
			v := sample(o.trace, id, t)
			most = max(most, v.before, v.high)
		}
	}
	if rapid.Bool().Draw(t, "at least?") {
		return RiseAtLeast(name, amount), expected{state(final-reference < amount), final - reference - amount}
	}
	return RiseAtMost(name, amount), expected{state(most-reference > amount), amount - (most - reference)}
}

// TestPropertiesAgainstBruteForce compares every kind of property on drawn traces with the oracle, live and replayed.
func TestPropertiesAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const grid = 7 // nanoseconds; crossings fall between them
		trace := drawTrace(t, grid, rapid.IntRange(0, 3).Draw(t, "late?") == 0)
		o := oracle{trace, began(trace), trace.End()}
		p, want := drawProperty(t, o)
		for _, name := range p.Signals() {
			id, _ := trace.Find(name)
			if column := trace.Column(id); len(column.At) == 0 && trace.Signals()[id].Shape != signal.Event {
				want = expected{state: NotRecorded}
			} else if trace.Signals()[id].Shape != signal.Event && column.At[0] > o.start {
				t.Skip("begins late: see TestLateSignals")
			}
		}
		got := judgeOf(t, trace, p)
		if got.Dim == quantity.Duration {
			want.margin /= 1e9
		}
		require.Equal(t, want.state, got.State, "%T: %s", p, got.Why)
		require.Equal(t, math.IsInf(want.margin, 0), got.NoMargin, "%T: %s", p, got.Why)
		if !got.NoMargin {
			require.InDelta(t, want.margin, got.Margin, 1e-12, got.Why)
		}
		assert.Equal(t, got.State == Held, got.Why == "", got.Why)
	})
}
