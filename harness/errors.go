package harness

import (
	"context"
	"fmt"
	"strings"

	"ullage/harness/signal"
)

// CannotError says that a stand cannot realise a script, and why. Nothing has moved.
type CannotError struct{ Reason string }

func (e *CannotError) Error() string { return e.Reason }

// unrecorded says that nobody on a stand records a signal that a sentence of the script needs.
func unrecorded(name, text, needs string) error {
	if strings.HasPrefix(name, string(signal.Controller)+".") {
		return &CannotError{fmt.Sprintf("this controller does not record %s, which %q %s", name, text, needs)}
	}
	return &CannotError{fmt.Sprintf("nothing on this stand records %s, which %q %s", name, text, needs)}
}

// StoppedError says that a run was stopped from outside: its context ended. It unwraps to the cause.
type StoppedError struct {
	At    signal.Time
	Cause error // of the context
}

func (e *StoppedError) Error() string { return fmt.Sprintf("stopped at %v: %v", e.At, e.Cause) }

// Unwrap is the cause of the context's end.
func (e *StoppedError) Unwrap() error { return e.Cause }

// DidNotHappenError says that an act waited in vain for its event.
type DidNotHappenError struct {
	Act    string      // as it was written
	Signal string      // of the event
	Waited signal.Time // how long
}

func (e *DidNotHappenError) Error() string {
	return fmt.Sprintf("%q waited %v for %s and it did not happen", e.Act, e.Waited, e.Signal)
}

// NothingDueError says that the script waits for something while no part has anything to do any more.
type NothingDueError struct{ At signal.Time }

func (e *NothingDueError) Error() string {
	return fmt.Sprintf("at %v: the script waits for something and nothing will happen any more", e.At)
}

// NotQuietError says that the parts of a stand went on answering each other at one moment.
type NotQuietError struct {
	At       signal.Time
	Rounds   int
	Changing []string // terminals that still changed; none when only frames went to and fro
}

func (e *NotQuietError) Error() string {
	changing := "nothing at the terminals, only frames"
	if e.Changing != nil {
		changing = strings.Join(e.Changing, ", ")
	}
	return fmt.Sprintf("at %v: no quiet after %d rounds; still changing: %s", e.At, e.Rounds, changing)
}

// ReachedError says that a controller went back in time or beyond its limit.
type ReachedError struct{ From, Until, Reached signal.Time }

func (e *ReachedError) Error() string {
	return fmt.Sprintf("controller: was at %v, was to run until %v at the most, and says that it reached %v",
		e.From, e.Until, e.Reached)
}

// UnbalancedError says that the water of a run does not balance.
type UnbalancedError struct{ Share, Allowed float64 } // of the water that moved

func (e *UnbalancedError) Error() string {
	return fmt.Sprintf("the water does not balance: out by %.2g of what moved, and %g is allowed", e.Share, e.Allowed)
}

// PartError says which part of a stand failed and when.
type PartError struct {
	Part string // "site", "network" or "controller"
	At   signal.Time
	Err  error
}

func (e *PartError) Error() string { return fmt.Sprintf("%s at %v: %v", e.Part, e.At, e.Err) }

// Unwrap is the error of the part.
func (e *PartError) Unwrap() error { return e.Err }

// brokenOff is the error of a run whose part failed: a StoppedError when it did because the context has ended.
func brokenOff(ctx context.Context, part string, at signal.Time, err error) error {
	if ctx.Err() != nil {
		return &StoppedError{At: at, Cause: context.Cause(ctx)}
	}
	return &PartError{Part: part, At: at, Err: err}
}
