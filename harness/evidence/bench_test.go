package evidence

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/signal"
)

// A change costs no allocation in the log of a run under way.
func TestLogAllocatesNothingPerChange(t *testing.T) {
	w, err := Open(t.TempDir(), sampleMeta)
	require.NoError(t, err)
	l, err := w.log(bounce().Script)
	require.NoError(t, err)
	l.Begin([]signal.Signal{{Device: "tank", Quantity: "level"}})
	at := signal.Time(0)
	assert.Zero(t, testing.AllocsPerRun(10_000, func() {
		at++
		l.Put(signal.Change{At: at, Value: float64(at) / 3})
	}))
	require.NoError(t, l.finish(nil))
	_, err = w.Close(false)
	require.NoError(t, err)
}

// BenchmarkLog writes the log of a run as it happens, and makes trace.csv from it.
func BenchmarkLog(b *testing.B) {
	trace := busy(10_000).Run.Trace
	script := bounce().Script
	folder := b.TempDir()
	b.ReportAllocs()
	for b.Loop() {
		w, err := Open(folder, sampleMeta)
		require.NoError(b, err)
		l, err := w.Watch(script)
		require.NoError(b, err)
		l.(*scenarioLog).Begin(trace.Signals())
		for at := range signal.Time(10_000) {
			l.Put(signal.Change{At: at, Value: float64(at) / 3})
		}
		l.Close(10_000)
		_, err = w.Close(true)
		require.NoError(b, err)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/10_000, "ns/change")
}

func BenchmarkPictures(b *testing.B) {
	result := busy(10_000)
	for b.Loop() {
		pictures(result)
	}
}

// BenchmarkWrite writes the evidence of 100 scenarios with 10,000 changes each: a million lines of CSV.
func BenchmarkWrite(b *testing.B) {
	var results []*harness.Result
	for i := range 100 {
		r := busy(10_000)
		r.Script.Name, r.Script.Line = fmt.Sprintf("Busy %d", i), i+1
		results = append(results, r)
	}
	for b.Loop() {
		require.NoError(b, write(b.TempDir(), results, sampleMeta))
	}
}
