package evidence

import (
	"iter"
	"math"

	"ullage/harness/console"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// scene is what a timing picture shows, before anything is drawn.
type scene struct {
	trace    *signal.Trace
	from, to signal.Time // the window
	reach    span        // the whole of the run that is shown; the vertical axes are those of this window
	begins   signal.Time // outcomes count from here on
	actions  []stroke
	mark     *mark
	panels   []panel
	lanes    []signal.ID
}

// stroke is an action in the picture: a name and its windows; one without windows is a moment.
type stroke struct {
	name  string
	at    signal.Time
	spans []span
}

// panel is a set of curves of one dimension.
type panel struct {
	dim    quantity.Dimension
	curves []signal.ID
}

// mark is the moment of the smallest margin of a scenario: a distance from a curve to its limit, or from an event to
// its deadline.
type mark struct {
	id     signal.ID
	at     signal.Time
	dim    quantity.Dimension
	margin float64
	limit  float64     // of a curve, in SI
	until  signal.Time // of an event: the deadline
	inTime bool        // the distance is one of time
	label  string      // "margin 34 mm"
}

// newScene chooses what to show of a scenario; nil when there is nothing.
func newScene(r *Record, trace *signal.Trace) *scene {
	if trace == nil || r.Ended == nil || r.Ended.NS <= 0 {
		return nil
	}
	s := &scene{trace: trace, to: r.Ended.NS, begins: signal.Never}
	if r.Begins != nil {
		s.begins = r.Begins.NS
	}
	if s.begins > 0 && s.begins < s.to {
		s.from = max(0, s.begins-(s.to-s.begins)/6)
	}
	s.reach = span{s.from, s.to}
	for _, a := range r.Actions {
		if a.Started != nil && a.Started.NS <= s.to {
			s.actions = append(s.actions, stroke{console.Clean(a.Text), a.Started.NS, a.spans()})
		}
	}
	s.mark = newMark(r, trace)
	s.choose(r)
	return s
}

// spans are the windows of an action.
func (a *Action) spans() []span {
	var list []span
	for _, w := range a.Windows {
		s := span{w.From.NS, signal.Never}
		if w.Until != nil {
			s.until = w.Until.NS
		}
		list = append(list, s)
	}
	return list
}

// newMark marks the outcome that Record.decisive names, if its moment can be shown.
func newMark(r *Record, trace *signal.Trace) *mark {
	best := r.decisive()
	if best == nil {
		return nil
	}
	id, ok := trace.Find(best.Signal)
	dim, known := dimensions[best.Dimension]
	if !ok || !known || best.At == nil {
		return nil
	}
	m := &mark{id: id, at: best.At.NS, dim: dim, margin: *best.Margin, label: marked(*best.Margin, dim)}
	switch s := trace.Signals()[id]; {
	case dim == quantity.Duration && s.Dim != quantity.Duration:
		m.inTime = true
		m.until = m.at + spanOf(m.margin)
	case dim == s.Dim && s.Shape != signal.Event:
		allowance := 0.0
		if best.Allowance != nil {
			allowance = *best.Allowance
		}
		m.limit = limitOf(trace, id, m.at, m.margin, allowance)
	default:
		m.limit = math.NaN()
	}
	return m
}

// marked is what stands at the dimension line.
func marked(margin float64, dim quantity.Dimension) string {
	if margin < 0 {
		return "missed by " + marginText(-margin, dim)
	}
	return "margin " + marginText(margin, dim)
}

// spanOf is a span in seconds, within what a picture can show.
func spanOf(s float64) signal.Time {
	return signal.Time(math.Min(math.Max(s, -1e8), 1e8) * 1e9)
}

// limitOf finds the limit that a margin was measured from: a margin below it or a margin above it. The allowance tells
// which, or else the side on which the curve has its extreme.
func limitOf(trace *signal.Trace, id signal.ID, at signal.Time, margin, allowance float64) float64 {
	for _, value := range around(trace, id, at) {
		for _, limit := range []float64{value + margin, value - margin} {
			if math.Abs(math.Abs(limit)-allowance) <= 1e-6*(math.Abs(allowance)+math.Abs(margin)) {
				return limit
			}
		}
	}
	value, low, high := trace.At(id, at), math.Inf(1), math.Inf(-1)
	for _, x := range trace.View(id).All() {
		low, high = math.Min(low, x), math.Max(high, x)
	}
	if high-value <= value-low {
		return value + margin
	}
	return value - margin
}

// around is the value at a moment, and those of the changes at it and before it: a jump has two.
func around(trace *signal.Trace, id signal.ID, at signal.Time) []float64 {
	v := trace.View(id)
	values := []float64{v.ValueAt(at)}
	for i := v.Search(at) - 1; i >= 0 && v.Time(i) == at; i-- {
		values = append(values, v.Value(i))
		if i > 0 && trace.Signals()[id].Shape == signal.Held {
			values = append(values, v.Value(i-1))
		}
	}
	return values
}

// within are the changes after a moment and up to another.
func within(v *signal.View, after, until signal.Time) iter.Seq2[signal.Time, float64] {
	return func(yield func(signal.Time, float64) bool) {
		for at, value := range v.After(after).All() {
			if at > until || !yield(at, value) {
				return
			}
		}
	}
}

// closeUp is the scene close to a mark in time that is too short to be seen in the whole; nil when it can be seen.
func (s *scene) closeUp(r *Record, visible signal.Time) *scene {
	if s.mark == nil || !s.mark.inTime {
		return nil
	}
	first, last := min(s.mark.at, s.mark.until), max(s.mark.at, s.mark.until)
	if size := last - first; size == 0 || size >= visible {
		return nil
	}
	near := *s
	margin := last - first
	near.from, near.to = max(s.from, first-3*margin), min(s.to, last+2*margin)
	if near.to <= near.from || near.to-near.from >= (s.to-s.from)/3 {
		return nil
	}
	near.panels, near.lanes = nil, nil
	near.choose(r)
	return &near
}
