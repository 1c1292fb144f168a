package language

import (
	"math"

	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// Args is what stands at the placeholders of a phrase, in order.
type Args struct {
	values  []value
	figures map[string]float64 // of a phrase of the catalogue of faults, by placeholder, in SI
	window  signal.Time        // of {for} or {window}; 0 when it was left out
	within  signal.Time        // of {within}
	by      bool               // it ends at a time of day
	Event   *outcome.Event
	first   bool        // a deadline counts from the first occurrence of the event alone, and not from each
	During  bool        // the event is a state that may hold already
	Wait    signal.Time // after the cursor
	After   signal.Time // the event, and so much later
	over    signal.Time // gradually over this time; 0: at once
	period  signal.Time // again after this time, times in all; 0: once
	times   int
}

// value is one of them: a name or text, or a quantity in SI.
type value struct {
	text string
	si   float64
}

// Text is what stands at a placeholder, as it was written.
func (a Args) Text(i int) string { return a.values[i].text }

// SI is the quantity that stands at a placeholder.
func (a Args) SI(i int) float64 { return a.values[i].si }

// Span is the duration that stands at a placeholder.
func (a Args) Span(i int) signal.Time { return Span(a.values[i].si) }

// Span is a length of time in nanoseconds.
func Span(seconds float64) signal.Time { return signal.Time(math.Round(seconds * 1e9)) }
