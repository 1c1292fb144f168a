package outcome

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
)

// BenchmarkMonitors measures what one change costs: of a signal that the property looks at, and of another one.
func BenchmarkMonitors(b *testing.B) {
	level, pump := Condition{"l.x", AtMost, 5}, Condition{"p.on", On, 0}
	cases := []struct {
		name string
		p    Property
	}{
		{"always", Always(level)},
		{"never together", NeverTogether(pump, Condition{"q.on", On, 0})},
		{"longest stretch", LongestStretch(level, signal.Minute)},
		{"event within", EventWithin(Event{pump}, signal.Minute, Event{Condition{"q.on", On, 0}})},
		{"turns within, linear", TurnsWithin(Event{pump}, signal.Minute, level)},
		{"settles within", SettlesWithin(Event{pump}, signal.Minute, Condition{"q.on", On, 0})},
		{"rise at most", RiseAtMost("l.x", 5)},
		{"at most times", AtMostTimes(3, Event{level})},
	}
	for _, c := range cases {
		trace := newRecord(drawnSignals...)
		var own []signal.ID
		for _, name := range c.p.Signals() {
			id, _ := trace.Find(name)
			own = append(own, id)
		}
		for title, ids := range map[string][]signal.ID{"own": own, "other": {6}} {
			b.Run(c.name+"/"+title, func(b *testing.B) {
				m, err := c.p.Monitor(Event{}, lookup(trace))
				require.NoError(b, err)
				for id := signal.ID(0); id < 6; id++ {
					m.Put(signal.Change{ID: id})
				}
				b.ReportAllocs()
				at := signal.Time(0)
				for i := 0; b.Loop(); i++ {
					at += signal.Second / 4
					m.Put(signal.Change{At: at, ID: ids[i%len(ids)], Value: float64(i >> 1 & 7)})
				}
			})
		}
	}
}
