package signal

import (
	"fmt"
	"math"
	"sort"
)

// Trace keeps every signal of a run, change by change, one column a signal, and hands each change on to the sinks that
// watch. It belongs to one run and is not safe for concurrent use while the run goes on.
type Trace struct {
	signals []Signal
	byName  map[string]ID
	columns []Column
	sinks   []Sink
	now     Time
	end     Time
	closed  bool
}

// Column is the record of one signal: At and Value have equal length, At never decreases.
type Column struct {
	At    []Time
	Value []float64
}

// firstRoom is for how many changes a column has room at first.
const firstRoom = 16

// NewTrace returns an empty trace.
func NewTrace() *Trace { return &Trace{byName: map[string]ID{}} }

// Watch adds a sink that is given every change from now on, in order, and before them the starting values: what has been
// recorded at the beginning of the run. A sink that begins later does not learn of what came between.
func (t *Trace) Watch(s Sink) {
	if b, ok := s.(Beginner); ok {
		b.Begin(t.signals)
	}
	for id, column := range t.columns {
		for i, at := range column.At {
			if at == 0 {
				s.Put(Change{At: at, ID: ID(id), Value: column.Value[i]})
			}
		}
	}
	t.sinks = append(t.sinks, s)
}

// Declare adds a signal; see Recorder.
func (t *Trace) Declare(s Signal) ID {
	name := s.Name()
	if _, twice := t.byName[name]; twice {
		panic(fmt.Sprintf("signal: %s is declared twice", name))
	}
	id := ID(len(t.signals))
	t.signals = append(t.signals, s)
	t.byName[name] = id
	t.columns = append(t.columns, Column{})
	return id
}

// Put records a change. A held signal that keeps its value, and a linear one that is put twice at one moment with the
// same value, store nothing and reach no sink. Time that runs backwards, and a value that is not a number, are mistakes
// of the program and panic. After Close nothing is stored.
func (t *Trace) Put(c Change) {
	if t.closed {
		return
	}
	if c.At < t.now {
		panic(fmt.Sprintf("signal: %s at %v, but the trace is at %v", t.signals[c.ID].Name(), c.At, t.now))
	}
	if math.IsNaN(c.Value) {
		panic(fmt.Sprintf("signal: %s at %v is not a number", t.signals[c.ID].Name(), c.At))
	}
	t.now = c.At
	column := &t.columns[c.ID]
	n := len(column.At)
	if n > 0 && t.signals[c.ID].Shape != Event && column.Value[n-1] == c.Value {
		if t.signals[c.ID].Shape == Held || column.At[n-1] == c.At {
			return
		}
	}
	if n == 0 {
		column.At, column.Value = make([]Time, 0, firstRoom), make([]float64, 0, firstRoom)
	}
	column.At = append(column.At, c.At)
	column.Value = append(column.Value, c.Value)
	for _, s := range t.sinks {
		s.Put(c)
	}
}

// Close ends the trace at end and tells the sinks.
func (t *Trace) Close(end Time) {
	t.end, t.closed = end, true
	for _, s := range t.sinks {
		s.Close(end)
	}
}

// End is the moment the run reached; zero before Close.
func (t *Trace) End() Time { return t.end }

// Signals lists the declared signals in order; the index is the ID.
func (t *Trace) Signals() []Signal { return t.signals }

// Column returns the record of one signal. The slices belong to the trace and must not be changed.
func (t *Trace) Column(id ID) Column { return t.columns[id] }

// Find returns the number of the signal with this "device.quantity" name.
func (t *Trace) Find(name string) (ID, bool) {
	id, ok := t.byName[name]
	return id, ok
}

// At returns the value of a held or linear signal at a moment, after every change of that moment; before the first
// change it is the first value, and for a signal without changes it is not a number.
func (t *Trace) At(id ID, at Time) float64 {
	c := t.columns[id]
	i := sort.Search(len(c.At), func(i int) bool { return c.At[i] > at })
	switch {
	case len(c.At) == 0:
		return math.NaN()
	case i == 0:
		return c.Value[0]
	case i == len(c.At) || t.signals[id].Shape != Linear:
		return c.Value[i-1]
	}
	share := float64(at-c.At[i-1]) / float64(c.At[i]-c.At[i-1])
	return c.Value[i-1] + float64((c.Value[i]-c.Value[i-1])*share)
}
