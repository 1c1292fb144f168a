// Package contact models the float switches of a tank: where they operate and release, how they bounce, how the water
// under them sloshes, and what the wire between contact and terminal does.
// It is no API: it serves fakes/site.
package contact

import (
	"math"
	"slices"

	"ullage/harness/signal"
)

// Float is a float switch: operated beyond one level, released beyond the other, with whatever lies between them as
// hysteresis. It is used from one goroutine.
type Float struct {
	Operates, Releases float64 // m, levels; Operates below Releases watches for low water
	ClosedAtRest       bool    // normally closed
	Kind               Kind
	Lead               float64 // Ω, of contact and cable when closed
	Leak               float64 // Ω across the contact; 0: none

	Jam      float64 // knob: +1 held operated, -1 held released, 0 free
	Broken   float64 // knob: Ω added in the lead
	Wet      float64 // knob: Ω across the contact besides; 1e12 or 0: none
	Shorted  float64 // knob: the wires of the lead touch: above 0
	Hung     float64 // knob: m by which the level must pass its threshold before the float comes free
	Sunk     float64 // knob: m by which the float lies deeper in the water than it should
	Inverted float64 // knob: normally open and normally closed are exchanged: above 0
	// knob: s, span in which the contact bounces after each change in the place of its own bounce; 0 leaves that
	BounceTime  float64
	BounceEdges float64 // knob: further edges of such a bounce, made even so that the contact ends where it belongs

	free     bool          // where the water would put the float: operated
	closed   bool          // what the contact is at present, bounce included
	rests    bool          // what it is when it has bounced
	train    []signal.Time // edges still to come
	ordinal  uint64
	operated bool // where the float stands, and the contact belongs: free, or jammed
}

// Draw gives the numbers that place the edges of a bounce.
type Draw func(purpose string, ordinal uint64) float64

// Start puts the switch where a level puts it, without an edge. Between the two levels it is released.
func (f *Float) Start(level float64) {
	f.free = f.beyond(level, f.Operates)
	f.operated = f.free
	f.rests = f.closes()
	f.closed = f.rests
}

// closes reports whether the contact belongs closed where the float stands.
func (f *Float) closes() bool { return (f.operated != f.ClosedAtRest) != (f.Inverted > 0) }

func (f *Float) beyond(level, limit float64) bool {
	if f.Operates < f.Releases {
		return level <= limit
	}
	return level >= limit
}

// Threshold is the level at which the float will change next, and whether the level must rise to it.
func (f *Float) Threshold() (level float64, rising bool) {
	low := f.Operates < f.Releases
	level, rising = f.Operates, !low
	if f.free {
		level, rising = f.Releases, low
	}
	if rising {
		return level + f.Sunk + f.Hung, true
	}
	return level + f.Sunk - f.Hung, false
}

// Cross notifies the switch that the level has passed its threshold.
func (f *Float) Cross(at signal.Time, draw Draw) {
	f.free = !f.free
	f.settle(at, draw)
}

// settle brings the contact to where it belongs, with a bounce where there is one.
func (f *Float) settle(at signal.Time, draw Draw) {
	operated := f.free
	if f.Jam != 0 {
		operated = f.Jam > 0
	}
	f.operated = operated
	if f.closes() == f.rests {
		return
	}
	f.rests = !f.rests
	f.train = append(f.train[:0], at)
	if f.closed == f.rests { // a bounce is still under way and stands on the right side already
		f.train = f.train[:0]
	}
	if f.BounceTime > 0 {
		for range 2 * int(math.Floor(f.BounceEdges/2)) {
			f.train = append(f.train, at+signal.FromSeconds(float64(f.BounceTime*f.uniform(draw))))
		}
	} else if len(f.train) > 0 {
		f.bounce(at, f.rests, draw)
	}
	slices.Sort(f.train)
}

// Turn notifies the switch that a knob was turned.
func (f *Float) Turn(at signal.Time, draw Draw) { f.settle(at, draw) }

// Next is when the contact will change by itself: the next edge of a bounce.
func (f *Float) Next() signal.Time {
	if len(f.train) == 0 {
		return signal.Never
	}
	return f.train[0]
}

// Advance makes the edges that are due and reports whether the contact changed.
func (f *Float) Advance(to signal.Time) bool {
	before := f.closed
	for len(f.train) > 0 && f.train[0] <= to {
		f.closed = !f.closed
		f.train = f.train[1:]
	}
	return f.closed != before
}

// Closed reports whether the contact is closed at present, bounce included.
func (f *Float) Closed() bool { return f.closed }

// Operated reports whether the float stands where it operates the contact: where the water has put it, or where it is
// jammed.
func (f *Float) Operated() bool { return f.operated }

// Ohms is what lies between the two wires of the lead at the terminal: cable and connector, and behind them the contact
// with whatever leaks across it. Wires that touch are a short whatever lies behind.
func (f *Float) Ohms() float64 {
	switch {
	case f.Shorted > 0:
		return 0
	case f.Broken > openCircuit:
		return math.Inf(1)
	case f.closed:
		return f.Lead + f.Broken
	}
	return f.Lead + f.Broken + leak(f.Leak, f.Wet)
}

// openCircuit is the resistance from which on a lead counts as broken, Ω.
const openCircuit = 1e9

// leak is the resistance of two leaks side by side, Ω; 0 and what counts as broken are none.
func leak(a, b float64) float64 {
	sum := 0.0 // S
	for _, ohms := range []float64{a, b} {
		if ohms > 0 && ohms < openCircuit {
			sum += 1 / ohms
		}
	}
	if sum == 0 {
		return math.Inf(1)
	}
	return 1 / sum
}
