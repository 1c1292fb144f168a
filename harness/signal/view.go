package signal

import (
	"iter"
	"math"
	"sort"
)

// View reads the record of one signal, or the end of it, and has at most one page of it in memory. A record is read
// fastest in order. A view shows what was there when it was made. It is for one goroutine; a trace gives each its own.
type View struct {
	shape Shape
	skip  int // changes of the record that come before the view
	pages []page
	file  *pageFile
	tail  Column // behind the pages

	part   Column // that is in memory: the tail, or a page
	first  int    // index in the view of its first change
	page   Column // room for a page
	buffer []byte
}

// View returns a view of the record of one signal.
func (t *Trace) View(id ID) *View {
	c := &t.columns[id]
	return &View{shape: t.signals[id].Shape, pages: c.pages, file: t.file,
		tail: c.Column, part: c.Column, first: len(c.pages) * pageLength}
}

// After is the view of the changes that come after a moment.
func (v *View) After(at Time) *View {
	skip := v.skip + v.Search(at)
	return &View{shape: v.shape, skip: skip, pages: v.pages, file: v.file,
		tail: v.tail, part: v.tail, first: len(v.pages)*pageLength - skip}
}

// Len is the number of changes.
func (v *View) Len() int { return len(v.pages)*pageLength + len(v.tail.At) - v.skip }

// Time is the moment of a change, which never decreases with its index.
func (v *View) Time(i int) Time {
	if uint(i-v.first) >= uint(len(v.part.At)) {
		v.turn(i)
	}
	return v.part.At[i-v.first]
}

// Value is the value of a change.
func (v *View) Value(i int) float64 {
	if uint(i-v.first) >= uint(len(v.part.At)) {
		v.turn(i)
	}
	return v.part.Value[i-v.first]
}

// All are the changes in order.
func (v *View) All() iter.Seq2[Time, float64] {
	return func(yield func(Time, float64) bool) {
		for i := range v.Len() {
			if !yield(v.Time(i), v.Value(i)) {
				return
			}
		}
	}
}

// Search is the number of changes that are not after a moment, and so the index of the first that is.
func (v *View) Search(at Time) int {
	if len(v.pages) > 0 {
		v.turnTo(at)
	}
	times := v.part.At
	low, high := 0, len(times)
	for low < high {
		if middle := int(uint(low+high) / 2); times[middle] <= at {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return max(0, v.first+low)
}

// ValueAt returns the value of a held or linear signal at a moment, after every change of that moment; before the first
// change it is the first value, and without changes it is not a number.
func (v *View) ValueAt(at Time) float64 {
	n, i := v.Len(), v.Search(at)
	switch {
	case n == 0:
		return math.NaN()
	case i == 0:
		return v.Value(0)
	case i == n || v.shape != Linear:
		return v.Value(i - 1)
	}
	next, then := v.Time(i), v.Value(i)
	last, value := v.Time(i-1), v.Value(i-1)
	share := float64(at-last) / float64(next-last)
	return value + float64((then-value)*share)
}

// turn has the part of a change in memory.
func (v *View) turn(i int) { v.open((i + v.skip) / pageLength) }

// turnTo has the part of the last change that is not after a moment in memory.
func (v *View) turnTo(at Time) {
	if v.tail.At[0] <= at {
		v.open(len(v.pages))
		return
	}
	v.open(max(0, sort.Search(len(v.pages), func(i int) bool { return v.pages[i].first > at })-1))
}

// open has a page in memory, or the tail, which comes after the last of them.
func (v *View) open(number int) {
	number = min(number, len(v.pages))
	first := number*pageLength - v.skip
	switch {
	case first == v.first:
		return
	case number == len(v.pages):
		v.part = v.tail
	default:
		if v.buffer == nil {
			v.page, v.buffer = Column{make([]Time, pageLength), make([]float64, pageLength)}, make([]byte, pageSize)
		}
		v.file.read(v.pages[number], &v.page, v.buffer)
		v.part = v.page
	}
	v.first = first
}
