// Package sweep tries every fault of the catalogue on every target of a site, at each moment that matters, and says
// against which single fault nothing protects, and which two together do harm that neither does alone.
//
// A trial is a scenario: the sequence that brings the site near a moment, a fault of the catalogue on a target of the
// site that has what it needs, said in its sentence with its worst figures, and the standing outcomes of the site file.
// The phrases of package scenarios compile it, so that a fault needs nothing but its entry to be swept, and a saved
// trial is a feature file that reads as one written by hand.
//
// The way of a sweep: NewPlan places the faults (placement.go), rehearses the sequences (sequence.go) with what they
// must not lose (outcome.go), and makes the trials (trial.go); Plan.Run tries them beside their twins without the fault
// (try.go, twin.go), keeps what it has found (store.go), and goes on with the pairs (pairs.go); a Report is printed
// (print.go) or written as JSON.
//
// It is no API: it serves the command.
package sweep
