package outcome

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
)

func TestGapAtMost(t *testing.T) {
	const s = signal.Second
	for _, test := range []struct {
		name    string
		atMost  signal.Time
		at      []signal.Time
		end     signal.Time
		margin  float64
		tight   signal.Time
		verdict State
	}{
		{"regular", 12 * s, []signal.Time{10 * s, 20 * s, 30 * s}, 35 * s, 2, 10 * s, Held},
		{"late at the start", 12 * s, []signal.Time{15 * s, 20 * s}, 30 * s, -3, 15 * s, Failed},
		{"a gap in the middle", 12 * s, []signal.Time{5 * s, 19 * s, 25 * s}, 30 * s, -2, 19 * s, Failed},
		{"silent at the end", 12 * s, []signal.Time{10 * s}, 40 * s, -18, 40 * s, Failed},
		{"never", 12 * s, nil, 40 * s, -28, 40 * s, Failed},
		{"never, but soon over", 12 * s, nil, 10 * s, 2, 10 * s, Held},
	} {
		t.Run(test.name, func(t *testing.T) {
			trace := signal.NewTrace()
			begins := trace.Declare(signal.Script.Begins())
			report := trace.Declare(signal.Signal{Device: "cloud", Quantity: "report", Shape: signal.Event})
			m, err := GapAtMost(Event{Condition{Signal: "cloud.report", Is: On}}, test.atMost).Monitor(Event{},
				func(name string) (signal.ID, signal.Signal, bool) {
					id, ok := trace.Find(name)
					return id, trace.Signals()[id], ok
				})
			require.NoError(t, err)
			trace.Watch(m)
			trace.Put(signal.Change{ID: begins, Value: 1})
			for _, at := range test.at {
				trace.Put(signal.Change{At: at, ID: report, Value: 1})
			}
			trace.Close(test.end)
			v := m.Verdict()
			assert.Equal(t, test.verdict, v.State, v.Why)
			assert.InDelta(t, test.margin, v.Margin, 1e-9)
			assert.Equal(t, test.tight, v.At)
		})
	}
}
