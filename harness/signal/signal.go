// Package signal holds what a run records: signals, their changes and the trace that keeps them.
//
// A signal is one quantity of one device, "header-tank.level". Time is a count of nanoseconds since the run began; no
// wall clock enters.
package signal

import (
	"fmt"

	"ullage/harness/quantity"
)

// Time is a moment of a run: nanoseconds since the run began. It reaches about 292 years.
type Time int64

// Never is the moment that does not come.
const Never Time = 1<<63 - 1

// Common spans, to be multiplied: 5 * Second.
const (
	Millisecond Time = 1e6
	Second      Time = 1e9
	Minute           = 60 * Second
	Hour             = 60 * Minute
	Day              = 24 * Hour
)

// Seconds converts the moment, or a span, to seconds.
func (t Time) Seconds() float64 { return float64(t) / 1e9 }

// FromSeconds converts seconds to a moment, rounded up to the nanosecond, so that a state that has crossed a threshold
// is past it at the moment returned. Values beyond the range give Never or its opposite, and what is not a number
// Never.
func FromSeconds(s float64) Time {
	n := s * 1e9
	switch {
	case n <= -9.2e18:
		return -Never
	case !(n < 9.2e18):
		return Never
	}
	t := Time(n)
	if float64(t) < n {
		t++
	}
	return t
}

// String prints the moment as [days+]hh:mm:ss with as many decimals as it needs.
func (t Time) String() string {
	if t == Never {
		return "never"
	}
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	day, rest := t/Day, t%Day
	text := fmt.Sprintf("%02d:%02d:%02d", rest/Hour, rest%Hour/Minute, rest%Minute/Second)
	if part := rest % Second; part != 0 {
		digits := fmt.Sprintf("%09d", part)
		for digits[len(digits)-1] == '0' {
			digits = digits[:len(digits)-1]
		}
		text += "." + digits
	}
	if day > 0 {
		text = fmt.Sprintf("%dd+%s", day, text)
	}
	return sign + text
}

// Shape says what a signal does between two changes.
type Shape uint8

// The shapes.
const (
	Held   Shape = iota // keeps its value until the next change
	Linear              // runs straight to the next change; two changes at one moment are a jump
	Event               // exists only at its changes; the value is the event's own figure
)

// String names the shape as it stands in evidence.
func (s Shape) String() string { return [...]string{"held", "linear", "event"}[s] }

// Signal declares one quantity of one device.
type Signal struct {
	Device   string             `json:"device"`   // name in the site file, or "controller", "wifi", "cloud", "script"
	Quantity string             `json:"quantity"` // what is measured: "level", "disc", "flow", "command"
	Dim      quantity.Dimension `json:"dim"`      // values are in the SI unit of this dimension
	Shape    Shape              `json:"shape"`
}

// Name is "device.quantity", unique within a trace.
func (s Signal) Name() string { return s.Device + "." + s.Quantity }

// ID numbers a signal within one trace, in the order of declaration from 0.
type ID int

// Change is one entry of a trace: from At on the signal has Value. Of two changes with equal At the one put first came
// first in cause.
type Change struct {
	At    Time
	ID    ID
	Value float64
}

// Sink takes the changes of a run in order of time: the trace, monitors, the live page.
type Sink interface {
	// Put hands over one change. At never decreases from call to call.
	Put(Change)
	// Close says that the run has reached end and nothing more comes.
	Close(end Time)
}

// Beginner is a sink that receives the signals of the run before its first change; the index is the ID.
type Beginner interface {
	Sink
	// Begin hands over the signals, which must not be changed.
	Begin([]Signal)
}

// Recorder is what the parts of a stand write their signals to.
type Recorder interface {
	// Declare announces a signal and returns its number. Declaring happens before the run moves; a name declared twice
	// is a mistake of the program and panics.
	Declare(Signal) ID
	// Put records one change. Held signals may be put again with the value they have: nothing is stored then.
	Put(Change)
}
