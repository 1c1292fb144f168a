package outcome

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// edges are the moments at which an on/off signal that begins off changes.
type edges []signal.Time

func drawEdges(t *rapid.T) edges {
	var e edges
	at := signal.Time(10)
	for i := 2 * rapid.IntRange(1, 3).Draw(t, "stretches"); i > 0; i-- {
		at += signal.Time(rapid.IntRange(1, 12).Draw(t, "later"))
		e = append(e, at)
	}
	return e
}

func (e edges) on(t signal.Time) bool {
	on := false
	for _, at := range e {
		if at <= t {
			on = !on
		}
	}
	return on
}

// moved is the signal with one edge moved; its neighbours stop it.
func (e edges) moved(i int, by signal.Time) edges {
	out := append(edges{}, e...)
	out[i] += by
	if i > 0 {
		out[i] = max(out[i], e[i-1])
	}
	if i+1 < len(e) {
		out[i] = min(out[i], e[i+1])
	}
	return out
}

const lastMoment = signal.Time(150)

// meet reports whether two signals are on together between two moments.
func (e edges) meet(other edges, from, until signal.Time) bool {
	for t := from; t < until; t++ {
		if e.on(t) && other.on(t) {
			return true
		}
	}
	return false
}

func traceOf(a, b edges) *signal.Trace {
	trace := newRecord(signal.Signal{Device: "a", Quantity: "on"}, signal.Signal{Device: "b", Quantity: "on"})
	trace.Put(signal.Change{})
	for t := signal.Time(0); t <= lastMoment; t++ {
		for id, e := range []edges{a, b} {
			v := 0.0
			if e.on(t) {
				v = 1
			}
			trace.Put(signal.Change{At: t, ID: signal.ID(id + 1), Value: v})
		}
	}
	trace.Close(lastMoment)
	return trace
}

// TestTogetherMarginByShifting shifts edges, and whole signals, one nanosecond after the other. While the signals keep
// apart, no shift by less than the margin makes them meet, and some shift by one more does. When they met, moving one
// edge by less than the longest meeting leaves them together, and moving one of its two edges by that much ends it.
func TestTogetherMarginByShifting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawEdges(t), drawEdges(t)
		v := judgeOf(t, traceOf(a, b), NeverTogether(Condition{"a.on", On, 0}, Condition{"b.on", On, 0}))
		margin := signal.FromSeconds(v.Margin - 1e-12)
		if v.Margin < 0 {
			margin = -signal.FromSeconds(-v.Margin - 1e-12)
		}
		broken := a.meet(b, 0, lastMoment)
		assert.Equal(t, broken, v.State == Failed)

		apart := func(by signal.Time) (always, shifted bool) {
			always, shifted = true, true
			for _, by := range []signal.Time{by, -by} {
				for i := range a {
					always = always && !a.moved(i, by).meet(b, 0, lastMoment)
				}
				for i := range b {
					always = always && !a.meet(b.moved(i, by), 0, lastMoment)
				}
				whole := append(edges{}, b...)
				for i := range whole {
					whole[i] += by
				}
				shifted = shifted && !a.meet(whole, 0, lastMoment)
			}
			return always, shifted
		}
		if !broken {
			for by := signal.Time(0); by <= margin; by++ {
				edge, whole := apart(by)
				assert.True(t, edge, "an edge moved by %d of %d", by, margin)
				assert.True(t, whole, "a signal moved by %d of %d", by, margin)
			}
			edge, whole := apart(margin + 1)
			assert.False(t, edge, "an edge moved by more than the margin")
			assert.False(t, whole, "a signal moved by more than the margin")
			return
		}
		stretch := -margin
		for by := signal.Time(0); by < stretch; by++ {
			for _, by := range []signal.Time{by, -by} {
				for i := range a {
					assert.True(t, a.moved(i, by).meet(b, 0, lastMoment), "edge %d of a moved by %d of %d", i, by,
						stretch)
				}
				for i := range b {
					assert.True(t, a.meet(b.moved(i, by), 0, lastMoment), "edge %d of b moved by %d of %d", i, by,
						stretch)
				}
			}
		}
		mended := false
		for _, by := range []signal.Time{stretch, -stretch} {
			for i := range a {
				mended = mended || !a.moved(i, by).meet(b, v.At-stretch, v.At)
			}
			for i := range b {
				mended = mended || !a.meet(b.moved(i, by), v.At-stretch, v.At)
			}
		}
		assert.True(t, mended, "no edge moved by %d ends the meeting up to %d", stretch, v.At)
	})
}
