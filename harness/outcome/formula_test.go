package outcome

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// drawFormula draws a formula up to a depth.
func drawFormula(t *rapid.T, depth int, nested bool) Formula {
	kind := 0
	if depth > 0 {
		kind = rapid.IntRange(0, 6).Draw(t, "kind")
	}
	inner := func(nested bool) Formula { return drawFormula(t, depth-1, nested) }
	switch kind {
	case 1:
		return Not(inner(nested))
	case 2:
		return And(inner(nested), inner(nested))
	case 3:
		return Or(inner(nested), inner(nested))
	case 4:
		return Globally(drawInterval(t, nested), inner(true))
	case 5:
		return Finally(drawInterval(t, nested), inner(true))
	case 6:
		over := drawInterval(t, nested)
		over.WithoutFrom = false
		return UntilWithin(over, inner(true), inner(true))
	}
	return Holds(Condition{
		Signal: rapid.SampledFrom([]string{"l.x", "m.x", "h.x"}).Draw(t, "signal"),
		Is:     rapid.SampledFrom([]Comparison{AtLeast, AtMost}).Draw(t, "comparison"),
		Limit:  float64(rapid.IntRange(-3, 3).Draw(t, "limit")),
	})
}

func drawInterval(t *rapid.T, nested bool) Interval {
	from := rapid.IntRange(0, 3).Draw(t, "from")
	width := rapid.IntRange(0, 4).Draw(t, "width")
	i := Interval{From: signal.Time(from) * unit, Until: signal.Time(from+width) * unit}
	if width > 0 {
		i.WithoutFrom, i.WithoutUntil = rapid.Bool().Draw(t, "(?"), rapid.Bool().Draw(t, ")?")
	}
	if !nested && rapid.IntRange(0, 3).Draw(t, "to the end?") == 0 {
		i.Until, i.WithoutUntil = signal.Never, false
	}
	return i
}

// dense works formulas out by definition, value by value. A course is laid out as cuts: for each tick the limit from the
// left, the moment, and the limit from the right. Between ticks the courses of drawn traces are straight, so that nothing
// escapes. It shares no code with the monitors.
type dense struct {
	trace *signal.Trace
	best  bool
	cuts  int
	end   int // the last cut that is known
}

type layout struct{ low, high []float64 }

func cutOf(t signal.Time) int { return int(t/tick)*3 + 1 }

func (d dense) of(f Formula, positive bool) layout {
	switch f := f.(type) {
	case atom:
		return d.atom(f, positive)
	case not:
		v := d.of(f.of, !positive)
		out := d.empty()
		for i := range v.low {
			out.low[i], out.high[i] = -v.high[i], -v.low[i]
		}
		return out
	case and:
		a, b := d.of(f.a, positive), d.of(f.b, positive)
		for i := range a.low {
			a.low[i], a.high[i] = math.Min(a.low[i], b.low[i]), math.Min(a.high[i], b.high[i])
		}
		return a
	case globally:
		v, out := d.of(f.of, positive), d.empty()
		for c := range v.low {
			from, to := d.window(c, f.over)
			for i := from; i <= to && i < d.cuts; i++ {
				out.low[c] = math.Min(out.low[c], v.low[i])
			}
			out.high[c] = out.low[c]
		}
		return out
	case untilFormula:
		a, b, out := d.of(f.a, positive), d.of(f.b, positive), d.empty()
		for c := range a.low {
			from, to := d.window(c, f.over)
			best, guard := math.Inf(-1), math.Inf(1)
			for i := c; i <= to && i < d.cuts; i++ {
				if i > c && i%3 != 1 { // moments just before it are in the guard
					guard = math.Min(guard, a.low[i])
				}
				if i >= from {
					best = math.Max(best, math.Min(b.high[i], guard))
				}
				guard = math.Min(guard, a.low[i])
			}
			out.low[c], out.high[c] = best, best
		}
		return out
	}
	panic("unknown formula")
}

// window is the cuts of an interval after a cut.
func (d dense) window(c int, over Interval) (from, to int) {
	from, to = c+int(over.From/tick)*3, d.end
	if over.Until != signal.Never {
		to = c + int(over.Until/tick)*3
	}
	if c%3 == 1 {
		if over.WithoutFrom {
			from++
		}
		if over.WithoutUntil {
			to--
		}
	}
	return from, to
}

func (d dense) empty() layout {
	l := layout{make([]float64, d.cuts), make([]float64, d.cuts)}
	for i := range l.low {
		l.low[i], l.high[i] = math.Inf(1), math.Inf(1)
	}
	return l
}

func (d dense) atom(f atom, positive bool) layout {
	out := d.empty()
	id, _ := d.trace.Find(f.Signal)
	for i := range out.low {
		v := sample(d.trace, id, signal.Time(i/3)*tick)
		low, high := [...]float64{v.before, v.low, v.after}[i%3], [...]float64{v.before, v.high, v.after}[i%3]
		switch {
		case i > d.end && positive == d.best:
			out.low[i], out.high[i] = math.Inf(1), math.Inf(1)
		case i > d.end:
			out.low[i], out.high[i] = math.Inf(-1), math.Inf(-1)
		case f.Is == AtLeast:
			out.low[i], out.high[i] = low-f.Limit, high-f.Limit
		default:
			out.low[i], out.high[i] = f.Limit-high, f.Limit-low
		}
	}
	return out
}

// TestFormulasAgainstBruteForce compares both bounds of drawn formulas on drawn traces, nested up to three deep, with the
// definition.
func TestFormulasAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		trace := drawTrace(t, unit, false)
		f := drawFormula(t, rapid.IntRange(0, 3).Draw(t, "depth"), false)
		least, most := boundsOf(t, trace, f)
		d := dense{trace: trace, cuts: cutOf(trace.End()+f.reach()) + 3, end: cutOf(trace.End())}
		begin := cutOf(began(trace))
		assert.InDelta(t, d.of(f, true).low[begin], least, 1e-9, "lower bound")
		d.best = true
		assert.InDelta(t, d.of(f, true).low[begin], most, 1e-9, "upper bound")
	})
}

// TestFormulaErrors names what cannot be monitored.
func TestFormulaErrors(t *testing.T) {
	trace := drawn(signal.Held, 1, point{0, 0})
	for want, f := range map[string]Formula{
		"give it an end":   Globally(during(0, 1), Finally(Interval{Until: signal.Never}, atLeast(0))),
		"holds no moment":  Globally(Interval{From: 2, Until: 1}, atLeast(0)),
		"beginning includ": UntilWithin(Interval{Until: 5, WithoutFrom: true}, atLeast(0), atLeast(0)),
		"not a number":     atLeast(math.NaN()),
	} {
		_, err := Satisfies(f).Monitor(Event{}, lookup(trace))
		require.ErrorContains(t, err, want)
	}
}

// TestWindowMemory checks that a nested window keeps what it spans, however long the run.
func TestWindowMemory(t *testing.T) {
	kept := 0
	s := &sliding{within: stretch{last: 10}, next: takerFunc(func(since signal.Time, p piece) {})}
	for at := signal.Time(0); at < 100_000; at++ {
		s.take(max(at-1, 0), level(at, float64(at*7919%101)))
		kept = max(kept, len(s.knots), len(s.queue))
	}
	assert.LessOrEqual(t, kept, 60, "knots kept for a window that spans 10")
}

type takerFunc func(since signal.Time, p piece)

func (f takerFunc) take(since signal.Time, p piece) { f(since, p) }
