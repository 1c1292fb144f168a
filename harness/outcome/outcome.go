// Package outcome holds temporal properties of a trace and their margins: not only whether something safe held, but
// the margin that was left. A monitor eats the changes of a run one by one, in bounded memory, and the same monitor fed
// from a stored trace gives the same verdict.
package outcome

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Comparison relates a signal to a limit.
type Comparison uint8

// The comparisons. For margins a strict and a loose comparison are the same.
const (
	AtLeast Comparison = iota // x >= limit, robustness x - limit
	AtMost                    // x <= limit, robustness limit - x
	On                        // a held state differs from 0; margins in time
	Off                       // a held state is 0; margins in time
)

// Condition is a statement about one signal at one moment. A held signal has at a moment the value that the moment
// leaves behind; a linear one that jumps has every value it is given there. On and Off of a linear signal ask whether
// it is away from zero. Before its first change a signal meets no condition.
//
// A value may be infinite: it lies beyond every limit, and there is no margin then, never a NaN. Between a
// finite and an infinite value a linear signal is infinite, and from an infinite value to the same one nothing has
// risen. Limits are finite.
type Condition struct {
	Signal string // "device.quantity"
	Is     Comparison
	Limit  float64 // SI, finite; unused for On and Off
}

// Event names moments: those at which a condition turns true, or, for an event-shaped signal, each of its changes; with
// a limit, each whose figure meets it. A condition that is true from the beginning turns true at its first change.
type Event struct{ Condition }

// Mark is the event that the script puts when it has done something.
func Mark(name string) Event {
	return Event{Condition{Signal: signal.Script.Mark(name).Name(), Is: On}}
}

// Outcome is one Then of a scenario: a property that is observed from an event on.
type Outcome struct {
	Text     string   // the Then as it was written
	From     Event    // observation starts at its first occurrence; zero value: at signal.Script.Begins
	Property Property // what must hold
}

// State is the result of an outcome.
type State uint8

// The states of an outcome.
const (
	Held         State = iota
	Failed             //
	NotExercised       // the run without its fault or stimulus showed the same
	NotRecorded        // a signal that it looks at is not in the trace
	NotRun             // the stand cannot realise the scenario
	NotValid           // a bench run outside its bounds
	Broken             // the run could not be made: an error, not a verdict
)

// String names the state as it stands in evidence.
func (s State) String() string {
	return [...]string{"held", "failed", "not exercised", "not recorded", "not run", "not valid",
		"could not be made"}[s]
}

// Verdict is what a monitor says at the end of a run.
type Verdict struct {
	State     State
	Margin    float64            // in the SI unit of Dim; negative when failed; finite
	NoMargin  bool               // nothing was there to be measured; Margin and Allowance are then 0
	Dim       quantity.Dimension // Duration for properties of on/off signals
	Allowance float64            // what was allowed in the same unit: the limit, the deadline, the span; 0: no share
	At        signal.Time        // the moment at which the margin was smallest
	Signal    string             // the signal with the smallest margin
	Marginal  string             // held, but fails at a limit of the site's tolerances: which, and how; "" otherwise
	// of an outcome that nothing moved: the input of the controller whose distance from acting the margin is, and what
	// it would have done; "" otherwise
	Short string
	Why   string // for everything but held: one sentence for the reader, got before want
}

// Share is the margin as a share of the allowance, and whether there is one.
func (v Verdict) Share() (float64, bool) {
	if v.NoMargin || v.Allowance == 0 {
		return 0, false
	}
	return v.Margin / v.Allowance, true
}

// Property is a temporal statement that can be monitored.
type Property interface {
	// Signals lists the "device.quantity" names that the property looks at.
	Signals() []string
	// Conditions lists what the property asks of them.
	Conditions() []Condition
	// Horizon is how long after the start of its observation the property must be watched for a verdict; 0 means to
	// the end of the run, whenever that is.
	Horizon() signal.Time
	// Monitor begins observing. signals gives the number, shape and dimension of a name in the trace; the monitor is
	// told of every change from the beginning of the run and knows from when on they count.
	Monitor(from Event, signals Lookup) (Monitor, error)
}

// Lookup finds a declared signal by name.
type Lookup func(name string) (signal.ID, signal.Signal, bool)

// Monitor judges one outcome while the run goes on. Put must be given every change of every signal, in order.
type Monitor interface {
	signal.Sink
	// Verdict is valid after Close.
	Verdict() Verdict
}
