package signal

import (
	"fmt"
	"math"
)

// Trace keeps every signal of a run, change by change, one column a signal, and hands each change on to the sinks that
// watch. It belongs to one run and is not safe for concurrent use while the run goes on; afterwards its readers are.
//
// Memory is bounded: beyond the first 262,144 changes, six times what the longest of the shipped scenarios has, the
// oldest of each column move to a temporary file, a page of 1,024 changes at a time. See View for reading them.
type Trace struct {
	signals  []Signal
	byName   map[string]ID
	columns  []column
	sinks    []Sink
	now      Time
	end      Time
	closed   bool
	inMemory int       // changes
	limit    int       // of changes in memory, beyond which columns of two pages spill
	file     *pageFile // nil: nothing has spilled
}

// Column is the record of one signal: At and Value have equal length, At never decreases.
type Column struct {
	At    []Time
	Value []float64
}

// column is the record of one signal while it grows: pages in the file, the oldest first, and behind them what is in
// memory, which is never empty again after the first change.
type column struct {
	Column
	pages []page
}

// Of a column firstRoom changes have room at first. A trace has no more than memoryLimit changes in memory, and two
// pages of each signal beside them.
const (
	firstRoom   = 16
	memoryLimit = 1 << 18
)

// NewTrace returns an empty trace.
func NewTrace() *Trace { return &Trace{byName: map[string]ID{}, limit: memoryLimit} }

// Watch adds a sink that is given every change from now on, in order, and before them the starting values: what has
// been recorded at the beginning of the run. A sink that begins later does not learn of what came between.
func (t *Trace) Watch(s Sink) {
	if b, ok := s.(Beginner); ok {
		b.Begin(t.signals)
	}
	for id := range t.columns {
		for at, value := range t.View(ID(id)).All() {
			if at > 0 {
				break
			}
			s.Put(Change{At: at, ID: ID(id), Value: value})
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
	t.columns = append(t.columns, column{})
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
	if t.inMemory++; t.inMemory > t.limit && len(column.At) >= 2*pageLength {
		t.spill(column)
	}
	for _, s := range t.sinks {
		s.Put(c)
	}
}

// Close ends the trace at end and closes the sinks.
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

// Column returns the whole record of one signal, in memory: of a long run use View. The slices must not be changed.
func (t *Trace) Column(id ID) Column {
	c := &t.columns[id]
	if len(c.pages) == 0 {
		return c.Column
	}
	v := t.View(id)
	whole := Column{make([]Time, 0, v.Len()), make([]float64, 0, v.Len())}
	for at, value := range v.All() {
		whole.At, whole.Value = append(whole.At, at), append(whole.Value, value)
	}
	return whole
}

// Find returns the number of the signal with this "device.quantity" name.
func (t *Trace) Find(name string) (ID, bool) {
	id, ok := t.byName[name]
	return id, ok
}

// At returns the value of a held or linear signal at a moment; see View.ValueAt. Who asks often keeps a View.
func (t *Trace) At(id ID, at Time) float64 { return t.View(id).ValueAt(at) }

// spill moves the whole pages of a column to the file, but for the last change. When that cannot be written, everything
// stays in memory from then on: a full disk breaks no run.
func (t *Trace) spill(c *column) {
	var err error
	if t.file == nil {
		t.file, err = newPageFile()
	}
	before := len(c.At)
	for err == nil && len(c.At) > pageLength {
		var p page
		if p, err = t.file.append(c.At[:pageLength], c.Value[:pageLength]); err == nil {
			c.pages = append(c.pages, p)
			c.At, c.Value = c.At[pageLength:], c.Value[pageLength:]
		}
	}
	if err != nil {
		t.limit = math.MaxInt
	}
	t.inMemory -= before - len(c.At)
	c.At = append(make([]Time, 0, 2*pageLength), c.At...) // the slices that readers may have stay as they are
	c.Value = append(make([]float64, 0, 2*pageLength), c.Value...)
}
