package harness_test

import (
	"context"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// noisySite has a sensor beside its button that is read five times a second and never shows the same twice. It looks at
// the heap at the end of each day.
type noisySite struct {
	tinySite
	sensor signal.ID
	reads  signal.Time
	heap   *[]int64
}

const everyRead = signal.Second / 5

func (s *noisySite) Open(ctx context.Context, record signal.Recorder, panel *fault.Panel, draw harness.Draw) error {
	s.sensor = record.Declare(signal.Signal{Device: "tank", Quantity: "level", Dim: quantity.Length,
		Shape: signal.Linear})
	return s.tinySite.Open(ctx, record, panel, draw)
}

func (s *noisySite) Next() signal.Time {
	return min(s.tinySite.Next(), s.reads*everyRead+10*signal.Minute)
}

func (s *noisySite) Advance(ctx context.Context, to signal.Time, outputs []harness.Pin) ([]harness.Pin, error) {
	for ; s.reads*everyRead < to; s.reads++ {
		at := s.reads * everyRead
		s.record.Put(signal.Change{At: at, ID: s.sensor, Value: float64(uint64(s.reads) * 0x9e3779b97f4a7c15 >> 40)})
		if at > 0 && at%signal.Day == 0 {
			*s.heap = append(*s.heap, heap())
		}
	}
	s.lines = nil
	return s.tinySite.Advance(ctx, to, outputs)
}

func (s *noisySite) Balance(trace *signal.Trace) (float64, error) {
	id, _ := trace.Find("tank.level")
	for range trace.View(id).All() {
	}
	*s.heap = append(*s.heap, heap())
	return 0, nil
}

// heap is what is used of it, once what is not used any more has been let go.
func heap() int64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// A run of days takes no more memory than one of hours, nor do its twin and the comparison of both. A trace has at most
// 262,144 changes of 16 bytes in memory, with as much room again to grow into, which makes 8 MiB, two pages of each
// signal, and 16 bytes for each page of 16 KiB in its file; all of a run in memory would be 28 MB.
func TestMemoryDoesNotGrowWithTheRun(t *testing.T) {
	const bound, days = 9 << 20, 4
	var used []int64
	build := func(context.Context, *harness.Script) (*harness.Stand, error) {
		tiny := newTiny()
		stand := tiny.stand()
		stand.Site = &noisySite{tinySite: *tiny.site, heap: &used}
		return stand, nil
	}
	script := harness.Script{End: end(days*signal.Day + signal.Hour), Outcomes: []outcome.Outcome{{
		Text:     "the level stays below its limit",
		Property: outcome.Always(outcome.Condition{Signal: "tank.level", Is: outcome.AtMost, Limit: 1 << 24}),
	}}}
	before := heap()
	r := harness.ClosedLoop{}.Prove(t.Context(), build, &script)
	require.NoError(t, r.Err)
	require.Len(t, used, 2*(days+1), "each day of the run and of its twin, and each balance")
	for i, now := range used {
		traces := int64(1 + i/(days+1))
		assert.Less(t, now-before, traces*bound, "step %d of %v", i, used)
	}
	id, _ := r.Run.Trace.Find("tank.level")
	assert.Equal(t, days*432_000+18_000, r.Run.Trace.View(id).Len(), "every change is still there")
}
