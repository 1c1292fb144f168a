package signal_test

import (
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// course puts changes of a few signals into traces: bursts at one moment, values that repeat, signals that rest for
// long.
func course(seed uint64, changes int, traces ...*signal.Trace) {
	random := rand.New(rand.NewPCG(seed, 1))
	shapes := []signal.Shape{signal.Held, signal.Linear, signal.Event, signal.Linear, signal.Held}
	for _, t := range traces {
		for i, shape := range shapes {
			t.Declare(signal.Signal{Device: "device", Quantity: string(rune('a' + i)), Shape: shape})
		}
	}
	at := signal.Time(0)
	for range changes {
		at += signal.Time(max(0, random.IntN(6)-2))
		c := signal.Change{At: at, ID: signal.ID(random.IntN(3)), Value: float64(random.IntN(4))}
		if random.IntN(500) == 0 {
			c.ID, c.Value = signal.ID(len(shapes)-2), math.Inf(1-2*random.IntN(2))
		}
		for _, t := range traces {
			t.Put(c)
		}
	}
	for _, t := range traces {
		t.Close(at + 3)
	}
}

// Whether a record is in memory or has been moved to the file, its readers find the same.
func TestSpillingTraceEqualsKeepingOne(t *testing.T) {
	spilled := 0
	rapid.Check(t, func(t *rapid.T) {
		keeping, spilling := signal.NewTrace(), signal.NewTraceOf(rapid.IntRange(0, 6000).Draw(t, "in memory"))
		course(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(0, 20_000).Draw(t, "changes"), keeping, spilling)
		spilled += spilling.Spilled()
		for id := range signal.ID(len(keeping.Signals())) {
			want := keeping.Column(id)
			require.True(t, equal(want, spilling.Column(id)), "column %d", id)
			v := spilling.View(id)
			require.Equal(t, len(want.At), v.Len())
			for range 5 {
				at := signal.Time(rapid.IntRange(-2, int(keeping.End())).Draw(t, "moment"))
				sameAt(t, keeping.View(id), v, at)
				rest, wantRest := v.After(at), keeping.View(id).After(at)
				sameAt(t, wantRest, rest, at/2)
				sameAt(t, wantRest, rest, at)
				if rest.Len() == 0 {
					continue
				}
				for range 5 { // out of order
					i := rapid.IntRange(0, rest.Len()-1).Draw(t, "index")
					require.Equal(t, want.At[len(want.At)-rest.Len()+i], rest.Time(i))
					require.Equal(t, want.Value[len(want.At)-rest.Len()+i], rest.Value(i))
				}
			}
		}
	})
	require.Positive(t, spilled, "nothing has spilled: the test compares a trace with itself")
}

func equal(a, b signal.Column) bool {
	if len(a.At) != len(b.At) || len(a.Value) != len(b.Value) {
		return false
	}
	for i := range a.At {
		if a.At[i] != b.At[i] || a.Value[i] != b.Value[i] {
			return false
		}
	}
	return true
}

func sameAt(t *rapid.T, want, got *signal.View, at signal.Time) {
	require.Equal(t, want.Len(), got.Len())
	require.Equal(t, want.Search(at), got.Search(at), "changes up to %d", int64(at))
	a, b := want.ValueAt(at), got.ValueAt(at)
	require.True(t, a == b || math.IsNaN(a) && math.IsNaN(b), "at %d: %v in memory, %v from the file", int64(at), a, b)
}

// Nothing of the file stands in the folder for temporary files, not even while it is used.
func TestFileOfATraceHasNoName(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	trace := signal.NewTraceOf(0)
	course(1, 20_000, trace)
	require.Positive(t, trace.Spilled())
	entries, err := os.ReadDir(os.Getenv("TMPDIR"))
	require.NoError(t, err)
	if runtime.GOOS == "linux" {
		assert.Empty(t, entries)
	}
}

// A short run makes no file at all, and where none can be made or written everything stays in memory.
func TestFullDisk(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir()+"/none")
	keeping, spilling := signal.NewTrace(), signal.NewTraceOf(0)
	course(3, 20_000, keeping, spilling)
	assert.Zero(t, spilling.Spilled())
	assert.True(t, equal(keeping.Column(1), spilling.Column(1)))

	t.Setenv("TMPDIR", t.TempDir())
	keeping, spilling = signal.NewTrace(), signal.NewTraceOf(1<<12)
	filled := func(to *signal.Trace, full func()) {
		id := to.Declare(signal.Signal{Device: "tank", Quantity: "level", Shape: signal.Event})
		for i := range signal.Time(20_000) {
			if i == 10_000 {
				full()
			}
			to.Put(signal.Change{At: i, ID: id, Value: float64(i)})
		}
	}
	filled(keeping, func() {})
	filled(spilling, func() { require.Positive(t, spilling.Spilled()); spilling.BreakFile() })
	assert.Equal(
		t,
		keeping.View(0).Len(),
		spilling.View(0).Len(),
		"nothing is lost when the file cannot be written any more",
	)
	defer func() {
		err, _ := recover().(*signal.ReadBackError)
		require.NotNil(t, err, "what was moved away and cannot be read again must not be passed over")
		assert.ErrorIs(t, err, os.ErrClosed)
		assert.ErrorContains(t, err, "reading back the trace from its temporary file: ")
	}()
	spilling.Column(0)
}

func BenchmarkPut(b *testing.B) {
	for name, limit := range map[string]int{"kept": math.MaxInt, "spilled": 1 << 18} {
		b.Run(name, func(b *testing.B) {
			trace := signal.NewTraceOf(limit)
			id := trace.Declare(signal.Signal{Device: "tank", Quantity: "level", Shape: signal.Linear})
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				trace.Put(signal.Change{At: signal.Time(i), ID: id, Value: float64(i & 1)})
			}
		})
	}
}

func BenchmarkAt(b *testing.B) {
	for name, limit := range map[string]int{"kept": math.MaxInt, "spilled": 0} {
		b.Run(name, func(b *testing.B) {
			trace := signal.NewTraceOf(limit)
			course(1, 100_000, trace)
			v, at := trace.View(1), signal.Time(0)
			b.ReportAllocs()
			for b.Loop() {
				at = (at + 3) % trace.End()
				v.ValueAt(at)
			}
		})
	}
}
