package outcome

import (
	"encoding/binary"
	"errors"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// TestLiveIsReplay watches a run, replays its trace, and replays it once more with the changes of each moment put in
// another order among the signals: the three verdicts are the same to the bit.
func TestLiveIsReplay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stored := drawTrace(t, 7, true)
		p, _ := drawProperty(t, oracle{stored, 0, -1})
		rank := rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6}).Draw(t, "order")
		live := newRecord(drawnSignals...)
		m, err := p.Monitor(Event{}, lookup(live))
		require.NoError(t, err)
		live.Watch(m)
		for _, c := range inOrder(stored, rank) {
			live.Put(c)
		}
		live.Close(stored.End())
		assert.Equal(t, m.Verdict(), judgeOf(t, live, p), "replayed")
		assert.Equal(t, m.Verdict(), judgeOf(t, stored, p), "in another order within moments")
	})
}

// inOrder lists the changes of a trace in order of time, those of one moment by the rank of their signal.
func inOrder(trace *signal.Trace, rank []int) (changes []signal.Change) {
	for id := range trace.Signals() {
		c := trace.Column(signal.ID(id))
		for i := range c.At {
			changes = append(changes, signal.Change{At: c.At[i], ID: signal.ID(id), Value: c.Value[i]})
		}
	}
	sort.SliceStable(changes, func(i, j int) bool {
		a, b := changes[i], changes[j]
		return a.At < b.At || a.At == b.At && rank[a.ID] < rank[b.ID]
	})
	return changes
}

// TestObservation checks from when on changes count.
func TestObservation(t *testing.T) {
	trace := newRecord(drawnSignals...)
	put := func(at signal.Time, name string, v float64) {
		id, _ := trace.Find(name)
		trace.Put(signal.Change{At: at * signal.Second, ID: id, Value: v})
	}
	put(0, "l.x", 10)
	put(0, "h.x", 9)
	put(0, "p.on", 0)
	put(4, "h.x", 2)
	put(5, "script.begins", 0)
	put(6, "p.on", 1)
	put(10, "l.x", 0)
	put(10, "h.x", -1)
	trace.Close(10 * signal.Second)
	cases := map[string]struct {
		from Event
		p    Property
		want float64
		at   signal.Time
	}{
		"a linear signal is interpolated at the start": {Event{}, Always(Condition{"l.x", AtMost, 6}), 1, 5},
		"changes before the start set the value":       {Event{}, Always(Condition{"h.x", AtMost, 6}), 4, 5},
		"the end belongs to it":                        {Event{}, Always(Condition{"h.x", AtLeast, 0}), -1, 10},
		"from a held signal": {Event{Condition{"p.on", On, 0}},
			Always(Condition{"l.x", AtMost, 6}), 2, 6},
		"from a linear signal": {Event{Condition{"l.x", AtMost, 7}},
			Always(Condition{"h.x", AtMost, 10}), 1, 3},
		"rise from the start": {Event{}, RiseAtMost("h.x", 1), 1, 5},
		"fall to the end":     {Event{}, RiseAtLeast("l.x", -6), 1, 10},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			m, err := c.p.Monitor(c.from, lookup(trace))
			require.NoError(t, err)
			replay(trace, m)
			assert.InDelta(t, c.want, m.Verdict().Margin, 1e-12)
			assert.Equal(t, c.at*signal.Second, m.Verdict().At)
		})
	}
}

// TestLateSignals checks that a signal counts from its first change on, and that one without any is not recorded.
func TestLateSignals(t *testing.T) {
	trace := newRecord(drawnSignals...)
	trace.Put(signal.Change{})
	trace.Put(signal.Change{At: 2, ID: 4, Value: 1})
	trace.Close(10)
	assert.Equal(t, Held, judgeOf(t, trace, Always(Condition{"p.on", AtLeast, 1})).State)
	assert.Equal(t, -8e-9, judgeOf(t, trace, Never(Condition{"p.on", On, 0})).Margin)
	assert.Equal(t, 1.0, judgeOf(t, trace, AtLeastTimes(0, Event{Condition{"p.on", On, 0}})).Margin,
		"true from the beginning: turns true at its first change")
	v := judgeOf(t, trace, Always(Condition{"l.x", AtMost, 1}))
	assert.Equal(t, NotRecorded, v.State)
	assert.Contains(t, v.Why, "l.x is declared but had no value")

	_, err := Always(Condition{"tank.level", AtMost, 1}).Monitor(Event{}, lookup(trace))
	var missing *NotRecordedError
	require.True(t, errors.As(err, &missing), "%v", err)
	assert.Equal(t, "tank.level", missing.Signal)
	_, err = Never(Condition{"p.on", On, 0}).Monitor(Mark("cut"), lookup(trace))
	require.True(t, errors.As(err, &missing), "%v", err)
	assert.Equal(t, "script.cut", missing.Signal, "of the event from which it is observed")
}

// FuzzMonitor feeds arbitrary changes, infinite values among them, to every kind of property: nothing may panic, and no
// margin may be other than a number.
func FuzzMonitor(f *testing.F) {
	f.Add([]byte("a sequence of changes is three bytes each"), uint16(3))
	f.Add([]byte{0, 0, 1, 1, 0, 9, 1, 200, 3, 2, 0, 255, 2, 0, 254, 6, 1, 1}, uint16(7))
	f.Add([]byte("B0\x7f100000"), uint16(18)) // an infinite value: once a margin that was not a number
	f.Fuzz(func(t *testing.T, data []byte, more uint16) {
		trace := newRecord(drawnSignals...)
		monitors := watchAll(t, trace)
		now := signal.Time(0)
		for ; len(data) >= 3; data = data[3:] {
			now += signal.Time(data[1]) * signal.Time(binary.LittleEndian.Uint16(data[:2])%997)
			v := float64(int8(data[2]))
			if math.Abs(v) > 126 {
				v *= math.Inf(1)
			}
			trace.Put(signal.Change{At: now, ID: signal.ID(data[0] % 7), Value: v})
		}
		trace.Close(now + signal.Time(more))
		for i, m := range monitors {
			assert.False(t, math.IsNaN(m.Verdict().Margin), "monitor %d", i)
			replayed := judgeOf(t, trace, everyKind()[i])
			assert.Equal(t, m.Verdict(), replayed, "monitor %d", i)
		}
	})
}

// everyKind is one property of each kind and shape.
func everyKind() []Property {
	level, other, held := Condition{"l.x", AtLeast, 1}, Condition{"m.x", AtMost, 2.5}, Condition{"h.x", AtLeast, 0}
	on, off, moving, ring := Condition{"p.on", On, 0}, Condition{"q.on", Off, 0}, Condition{"m.x", On,
		0}, Event{Condition{"e.ring", On, 0}}
	return []Property{
		Always(level), Never(held), Always(on), Never(moving), Never(ring.Condition), NeverTogether(on,
			off), NeverTogether(level, moving),
		LongestStretch(level, 50), TotalAtMost(on, 50), EventWithin(Event{on}, 100, ring), EventWithin(Event{level},
			100, Event{off}),
		TurnsWithin(ring, 100, level), TurnsWithin(Event{level}, 100, off), SettlesWithin(ring, 100,
			level), SettlesWithin(Event{on}, 0, other),
		AtMostTimes(3, Event{level}), AtLeastTimes(2, Event{moving}), None(ring), GapAtMost(ring,
			100), GapAtMost(Event{on}, 100),
		RiseAtMost("l.x", 2), RiseAtMost("h.x", 2), RiseAtLeast("h.x", 1), RiseAtLeast("m.x", -1),
	}
}

func watchAll(t require.TestingT, trace *signal.Trace) (monitors []Monitor) {
	for _, p := range everyKind() {
		m, err := p.Monitor(Event{}, lookup(trace))
		require.NoError(t, err)
		trace.Watch(m)
		monitors = append(monitors, m)
	}
	return monitors
}

// TestNoTrafficNoMemory checks that a long run leaves nothing behind in the monitors' queues.
func TestNoTrafficNoMemory(t *testing.T) {
	trace := newRecord(drawnSignals...)
	monitors := watchAll(t, trace)
	draw := rand.New(rand.NewPCG(1, 2))
	trace.Put(signal.Change{})
	longest := 0
	for at := signal.Time(1); at < 50_000; at++ {
		trace.Put(signal.Change{At: at, ID: signal.ID(1 + draw.IntN(6)), Value: float64(draw.IntN(7) - 3)})
		for _, m := range monitors {
			for i := range m.(*monitor).courses {
				longest = max(longest, len(m.(*monitor).courses[i].queue))
			}
			if j, ok := m.(*monitor).judge.(*settles); ok {
				longest = max(longest, len(j.visits))
			}
		}
	}
	assert.Less(t, longest, 200, "changes kept waiting")
}

// kept is a sink that keeps what it is given.
type kept struct {
	changes []signal.Change
	end     signal.Time
}

func (k *kept) Put(c signal.Change)   { k.changes = append(k.changes, c) }
func (k *kept) Close(end signal.Time) { k.end = end }

// TestReplay checks the order in which a trace is handed over.
func TestReplay(t *testing.T) {
	trace := newRecord(drawnSignals...)
	for _, c := range []signal.Change{{At: 1, ID: 4, Value: 1}, {At: 1, ID: 1, Value: 5}, {At: 1, ID: 1, Value: 6},
		{At: 3, ID: 2, Value: 7}, {At: 3, ID: 0}} {
		trace.Put(c)
	}
	trace.Close(8)
	k := &kept{}
	replay(trace, k)
	assert.Equal(t, []signal.Change{{At: 1, ID: 1, Value: 5}, {At: 1, ID: 1, Value: 6}, {At: 1, ID: 4, Value: 1},
		{At: 3}, {At: 3, ID: 2, Value: 7}}, k.changes)
	assert.Equal(t, signal.Time(8), k.end)
}
