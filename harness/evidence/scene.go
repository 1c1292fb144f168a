package evidence

import (
	"math"

	"ullage/harness"
	"ullage/harness/console"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// scene is what a timing picture shows, before anything is drawn.
type scene struct {
	trace    *signal.Trace
	from, to signal.Time // the window
	reach    span        // the whole of the run that is shown; the vertical axes are those of this window
	begins   signal.Time // outcomes count from here on
	acts     []stroke
	mark     *mark
	panels   []panel
	lanes    []signal.ID
}

// stroke is an act in the picture: a name and its windows; one without windows is a moment.
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

// mark is the tightest moment of a scenario: a distance from a curve to its limit, or from an event to its deadline.
type mark struct {
	id     signal.ID
	at     signal.Time
	dim    quantity.Dimension
	margin float64
	limit  float64     // of a curve, in SI
	until  signal.Time // of an event: the deadline
	inTime bool        // the distance is one of time
	label  string      // "34 mm to spare"
}

// newScene chooses what to show of a result; nil when there is nothing.
func newScene(result *harness.Result) *scene {
	if result.Run == nil || result.Run.Trace == nil || result.Run.End <= 0 {
		return nil
	}
	run := result.Run
	s := &scene{trace: run.Trace, to: run.End, begins: run.Begins}
	if s.begins > 0 && s.begins < s.to {
		s.from = max(0, s.begins-(s.to-s.begins)/6)
	}
	s.reach = span{s.from, s.to}
	for i, a := range result.Script.Acts {
		if i < len(run.Acts) && run.Acts[i] != signal.Never && run.Acts[i] <= s.to {
			s.acts = append(s.acts, stroke{console.Clean(a.Text), run.Acts[i], spans(a, run.Acts[i])})
		}
	}
	s.mark = newMark(result)
	s.choose(result)
	return s
}

// newMark marks the outcome that Record.tightest names, if its moment can be shown.
func newMark(result *harness.Result) *mark {
	record := NewRecord(result, Meta{})
	best := record.tightest()
	if best == nil {
		return nil
	}
	var v outcome.Verdict
	for i := range record.Outcomes {
		if &record.Outcomes[i] == best {
			v = result.Verdicts[i]
		}
	}
	trace := result.Run.Trace
	id, ok := trace.Find(v.Signal)
	if !ok || v.At == signal.Never {
		return nil
	}
	m := &mark{id: id, at: v.At, dim: v.Dim, margin: v.Margin, label: marked(v)}
	switch s := trace.Signals()[id]; {
	case v.Dim == quantity.Duration && s.Dim != quantity.Duration:
		m.inTime = true
		m.until = v.At + spanOf(v.Margin)
	case v.Dim == s.Dim && s.Shape != signal.Event:
		m.limit = limitOf(trace, id, v)
	default:
		m.limit = math.NaN()
	}
	return m
}

// marked is what stands at the dimension line.
func marked(v outcome.Verdict) string {
	if v.Margin < 0 {
		return "missed by " + spare(-v.Margin, v.Dim)
	}
	return spare(v.Margin, v.Dim) + " to spare"
}

// spanOf is a span in seconds, within what a picture can show.
func spanOf(s float64) signal.Time {
	return signal.Time(math.Min(math.Max(s, -1e8), 1e8) * 1e9)
}

// limitOf finds the limit that a margin was measured from: a margin below it or a margin above it. The allowance tells
// which, or else the side on which the curve has its extreme.
func limitOf(trace *signal.Trace, id signal.ID, v outcome.Verdict) float64 {
	for _, value := range around(trace, id, v.At) {
		for _, limit := range []float64{value + v.Margin, value - v.Margin} {
			if math.Abs(math.Abs(limit)-v.Allowance) <= 1e-6*(math.Abs(v.Allowance)+math.Abs(v.Margin)) {
				return limit
			}
		}
	}
	value, low, high := trace.At(id, v.At), math.Inf(1), math.Inf(-1)
	for _, x := range trace.Column(id).Value {
		low, high = math.Min(low, x), math.Max(high, x)
	}
	if high-value <= value-low {
		return value + v.Margin
	}
	return value - v.Margin
}

// around is the value at a moment, and those of the changes at it and before it: a jump has two.
func around(trace *signal.Trace, id signal.ID, at signal.Time) []float64 {
	values := []float64{trace.At(id, at)}
	c := trace.Column(id)
	for i := search(c.At, at); i >= 0 && c.At[i] == at; i-- {
		values = append(values, c.Value[i])
		if i > 0 && trace.Signals()[id].Shape == signal.Held {
			values = append(values, c.Value[i-1])
		}
	}
	return values
}

// search is the index of the last change not after a moment; -1 when there is none.
func search(times []signal.Time, at signal.Time) int {
	low, high := 0, len(times)
	for low < high {
		if middle := (low + high) / 2; times[middle] <= at {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low - 1
}

// closeUp is the scene close to a mark in time that is too short to be seen in the whole; nil when it can be seen.
func (s *scene) closeUp(result *harness.Result, visible signal.Time) *scene {
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
	near.choose(result)
	return &near
}
