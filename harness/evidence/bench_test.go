package evidence

import (
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
)

// A change in the trace costs no allocation: ten times the changes allocate as often.
func TestTraceAllocatesNothingPerChange(t *testing.T) {
	count := func(changes int) float64 {
		trace := busy(changes).Run.Trace
		return testing.AllocsPerRun(5, func() { _ = WriteTrace(io.Discard, "f.feature:1", trace) })
	}
	assert.Equal(t, count(3_000), count(30_000))
}

func BenchmarkTrace(b *testing.B) {
	trace := busy(10_000).Run.Trace
	b.ReportAllocs()
	for b.Loop() {
		if err := WriteTrace(io.Discard, "features/flood.feature:12", trace); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/10_000, "ns/change")
}

func BenchmarkPictures(b *testing.B) {
	result := busy(10_000)
	for b.Loop() {
		drawPictures(result)
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
		require.NoError(b, Write(b.TempDir(), results, sampleMeta))
	}
}
