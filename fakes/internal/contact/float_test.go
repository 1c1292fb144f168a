package contact_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/internal/contact"
	"ullage/harness"
	"ullage/harness/signal"
)

func drawOf(seed uint64) contact.Draw {
	d := harness.NewDraw(seed, "test")
	return func(purpose string, ordinal uint64) float64 { return d.Uniform("high", purpose, ordinal) }
}

// high is a float switch for high water.
func high() *contact.Float { return &contact.Float{Operates: 0.72, Releases: 0.69, Lead: 2} }

// edges lets a contact make its edges until a moment and returns when they come.
func edges(f *contact.Float, until signal.Time) []signal.Time {
	var list []signal.Time
	for f.Next() <= until {
		at := f.Next()
		if f.Advance(at) {
			list = append(list, at)
		}
	}
	return list
}

func TestStartsWhereTheLevelPutsIt(t *testing.T) {
	for _, c := range []struct {
		name               string
		operates, releases float64
		atRestClosed       bool
		level              float64
		operated, closed   bool
	}{
		{"high water, below", 0.72, 0.69, false, 0.5, false, false},
		{"high water, between", 0.72, 0.69, false, 0.70, false, false},
		{"high water, at its level", 0.72, 0.69, false, 0.72, true, true},
		{"high water, normally closed, above", 0.72, 0.69, true, 0.8, true, false},
		{"low water, above", 0.25, 0.28, false, 0.5, false, false},
		{"low water, at its level", 0.25, 0.28, false, 0.25, true, true},
		{"low water, normally closed, above", 0.25, 0.28, true, 0.5, false, true},
	} {
		f := &contact.Float{Operates: c.operates, Releases: c.releases, ClosedAtRest: c.atRestClosed}
		f.Start(c.level)
		assert.Equal(t, c.operated, f.Operated(), "%s: the float", c.name)
		assert.Equal(t, c.closed, f.Closed(), "%s: the contact", c.name)
		assert.Equal(t, signal.Never, f.Next(), "%s: a contact that starts makes no edge", c.name)
	}
}

func TestThresholdsAreTakenInTurn(t *testing.T) {
	f := high()
	f.Start(0.5)
	level, rising := f.Threshold()
	assert.Equal(t, []any{0.72, true}, []any{level, rising},
		"a released switch for high water waits for the level to rise to where it operates")
	f.Cross(5, drawOf(1))
	assert.Equal(t, []signal.Time{5}, edges(f, 5), "without bounce there is one edge, at the crossing")
	level, rising = f.Threshold()
	assert.Equal(t, []any{0.69, false}, []any{level, rising},
		"an operated one waits for the level to fall to where it releases")

	low := &contact.Float{Operates: 0.25, Releases: 0.28}
	low.Start(0.5)
	level, rising = low.Threshold()
	assert.Equal(t, []any{0.25, false}, []any{level, rising},
		"a released switch for low water waits for the level to fall")
	low.Cross(5, drawOf(1))
	level, rising = low.Threshold()
	assert.Equal(t, []any{0.28, true}, []any{level, rising}, "an operated one waits for the level to rise")
}

func TestBounceTrains(t *testing.T) {
	for _, c := range []struct {
		edges float64
		want  int
	}{{0, 1}, {1, 1}, {2, 3}, {6, 7}, {7, 7}, {1000, 1001}} {
		f := high()
		f.BounceTime, f.BounceEdges = 0.15, c.edges
		f.Start(0.5)
		f.Cross(signal.Second, drawOf(1))
		train := edges(f, signal.Never-1)
		assert.Len(t, train, c.want, "%g further edges, made even, and the change itself", c.edges)
		assert.Equal(t, signal.Second, train[0], "the first edge comes with the change")
		assert.LessOrEqual(t, train[len(train)-1], signal.Second+150*signal.Millisecond,
			"the contact bounces longer than it should")
		assert.True(t, f.Closed(), "the contact must end operated")
	}
}

func TestSameSeedSameTrain(t *testing.T) {
	train := func(seed uint64) []signal.Time {
		f := high()
		f.BounceTime, f.BounceEdges = 0.15, 8
		f.Start(0.5)
		f.Cross(signal.Second, drawOf(seed))
		return edges(f, signal.Never-1)
	}
	assert.Equal(t, train(7), train(7), "the same seed must give the same edges")
	assert.NotEqual(t, train(7), train(8), "another seed must give other edges")
}

func TestJamAndLead(t *testing.T) {
	draw := drawOf(1)
	f := high()
	f.Start(0.5)
	f.Jam = 1
	f.Turn(1, draw)
	assert.Equal(t, []signal.Time{1}, edges(f, 1), "a float that is held up operates its contact")
	assert.True(t, f.Closed())
	assert.True(t, f.Operated(), "a jammed float stands where it is jammed")
	f.Cross(2, draw)
	assert.Empty(t, edges(f, 2), "a jammed contact does not follow the level")
	f.Jam = -1
	f.Turn(3, draw)
	assert.Len(t, edges(f, 3), 1)
	assert.False(t, f.Closed(), "held down it is released")
	f.Jam = 0
	f.Turn(4, draw)
	assert.Len(t, edges(f, 4), 1)
	assert.True(t, f.Closed(), "let go it stands where the level has it")

	assert.Equal(t, 2.0, f.Ohms(), "a closed contact has the resistance of its lead")
	f.Broken = 5e3
	assert.Equal(t, 5002.0, f.Ohms(), "corrosion adds to the lead")
	f.Broken = 1e12
	assert.True(t, math.IsInf(f.Ohms(), 1), "a broken lead is an open circuit, whatever the contact does")
}

// Whatever is done to a contact, it ends where float or jam have it, and no edge comes before its time.
func TestEndsWhereItBelongs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := high()
		f.ClosedAtRest = rapid.Bool().Draw(t, "normally closed")
		f.Start(0.5)
		draw := drawOf(rapid.Uint64().Draw(t, "seed"))
		now, operated, was := signal.Time(0), false, f.Closed()
		for range rapid.IntRange(1, 20).Draw(t, "acts") {
			now += signal.Time(rapid.Int64Range(0, 2e8).Draw(t, "later"))
			n := len(edges(f, now))
			require.Equal(t, n%2 == 1, f.Closed() != was, "the contact changes without an edge, or the other way round")
			was = f.Closed()
			switch rapid.IntRange(0, 2).Draw(t, "act") {
			case 0:
				f.Cross(now, draw)
				operated = !operated
			case 1:
				f.Jam = float64(rapid.IntRange(-1, 1).Draw(t, "jam"))
				f.Turn(now, draw)
			case 2:
				f.BounceTime = rapid.SampledFrom([]float64{0, 0.01, 0.3}).Draw(t, "bounce time")
				f.BounceEdges = float64(rapid.IntRange(0, 9).Draw(t, "edges"))
				f.Turn(now, draw)
			}
			if next := f.Next(); next != signal.Never {
				require.GreaterOrEqual(t, next, now, "an edge in the past")
			}
		}
		edges(f, signal.Never-1)
		want := operated
		if f.Jam != 0 {
			want = f.Jam > 0
		}
		require.Equal(t, want != f.ClosedAtRest, f.Closed(), "the contact ends where neither level nor jam have it")
	})
}

// A knob at rest is no knob: turning it leaves no mark.
func TestKnobAtRestLeavesNoMark(t *testing.T) {
	a, b := high(), high()
	for _, f := range []*contact.Float{a, b} {
		f.BounceTime, f.BounceEdges = 0.15, 6
		f.Start(0.5)
	}
	for i := range signal.Time(6) {
		a.Cross(i*signal.Second, drawOf(1))
		b.Turn(i*signal.Second, drawOf(1))
		b.Cross(i*signal.Second, drawOf(1))
		b.Turn(i*signal.Second, drawOf(1))
		require.Equal(t, edges(a, (i+1)*signal.Second-1), edges(b, (i+1)*signal.Second-1),
			"a knob that was turned to rest moved an edge")
	}
}
