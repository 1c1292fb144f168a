package harness

import (
	"context"

	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Part is what site, network and controller have in common. Parts are used by one run, from one goroutine. When the
// context of a call ends, the call returns the context's cause at the latest at the end of the step that it is in; the
// part is then closed and not used again.
type Part interface {
	// Open declares the part's signals and offers its knobs. Every output is in its safe state: valves shut, pump off.
	// ctx is that of the run.
	Open(ctx context.Context, record signal.Recorder, panel *fault.Panel, draw Draw) error
	// Close puts every output into its safe state first, then lets go. A site records where everything stands before it
	// does. Closing twice is allowed.
	Close() error
}

// Foreseeing is a part that knows when it has something new by itself. A controller need not know.
type Foreseeing interface {
	// Next is the moment at which the part will have something new if none of its inputs changes; signal.Never when
	// nothing. It is pure: asking changes nothing. A moment not after the present means "now".
	Next() signal.Time
}

// Site is the water, soil, wiring and power around the controller.
type Site interface {
	Part
	Foreseeing
	// Advance brings the site to a moment, with the controller's outputs changed as given (their At is that moment),
	// and returns the input terminals that changed at it. The site never goes past `to`.
	Advance(ctx context.Context, to signal.Time, outputs []Pin) ([]Pin, error)
}

// Network carries frames between the controller and whoever it reports to.
type Network interface {
	Part
	Foreseeing
	// Advance brings the network to a moment, takes what the controller sent at it and returns what the controller
	// receives at it.
	Advance(ctx context.Context, to signal.Time, sent []Frame) ([]Frame, error)
}

// Controller is the thing under test, whatever it is made of. It has its board's side too: without power at its power
// terminal (see sitefile.Controller) it is off and every output is Open; with power it boots. An output that is on passes
// the source at the power terminal on, volts and ohms; one that is off is Open.
type Controller interface {
	Part
	// Advance gives the controller what changed at its terminals and what it received, all at the present moment, and
	// lets it run until `to`. It stops early at the first moment at which it changes an output or sends a frame, and
	// returns that moment with what it did. reached is never after `to` and never before the present. The slices are
	// valid until the next call.
	Advance(ctx context.Context, to signal.Time, in []Pin, got []Frame) (reached signal.Time, out []Pin, sent []Frame,
		err error)
	// Can says what this controller is able to do. What it lets faults turn inside it, and what it records, is
	// optional; see Turnable and ControllerSignals.
	Can() Abilities
}

// Reacting is a controller that says how it reacts and repeats itself, within which limits it is sound. It is asked
// once it has been made.
type Reacting interface {
	// Reacts returns what the controller knows of itself; what is not set is that of the site file.
	Reacts() sitefile.Reacts
}

// ReactsOf returns how a controller reacts: what it says itself, and of the rest what the site file says, with defaults
// filled in.
func ReactsOf(c Controller, spec sitefile.Controller) sitefile.Reacts {
	given := spec.Reacts
	given.FillDefaults(spec.Settings.Fill)
	if r, ok := c.(Reacting); ok {
		return r.Reacts().Over(given)
	}
	return given
}

// Ability is something that a controller may or may not be able to do, in the words of the settings.
type Ability string

// The abilities that scenarios ask for.
const (
	FillRule       Ability = "fill rule"            // fills a tank on a low contact
	LongestRun     Ability = "longest run"          // ends a fill that takes too long
	LockOut        Ability = "lock-out"             // gives up after failed attempts
	CutOff         Ability = "cut-off"              // an independent contact shuts everything that fills
	Interlock      Ability = "interlock"            // dry-run protection of the pump
	MoistureRule   Ability = "moisture rule"        // cycle and soak between two thresholds
	Programme      Ability = "timed programme"      // start times, days, run time
	CycleLimit     Ability = "cycle limit"          // gives up watering after cycles that did not help
	RemoteStart    Ability = "remote start"         // starts a zone on command
	RunLimit       Ability = "run limit"            // ends a remote start by itself, whatever was asked for
	FlowAlarms     Ability = "flow alarms"          // flow without a call, call without flow
	Alerts         Ability = "alerts"               // publishes alerts
	AlertSpacing   Ability = "alert spacing"        // a shortest time between repeats of an alert
	Reports        Ability = "reports"              // publishes its state at an interval
	SafeBoot       Ability = "safe outputs at boot" // outputs stay off until it has read its inputs
	ProbeChecks    Ability = "probe checks"         // refuses readings outside the calibrated range
	OfflineMemory  Ability = "offline memory"       // keeps alerts while the network is away
	ContactFilters Ability = "debounce"             // ignores changes of a contact shorter than a time
	BothPolarities Ability = "both polarities"      // drives valves that open by one polarity and shut by the other
	// does not open a latching valve that a falling supply could not shut
	KeepsCharge Ability = "charge kept to shut"
)

// Abilities is a set of abilities.
type Abilities map[Ability]bool

// AllAbilities lists every ability, in the order of the constants.
func AllAbilities() []Ability {
	return []Ability{FillRule, LongestRun, LockOut, CutOff, Interlock, MoistureRule, Programme, CycleLimit, RemoteStart,
		RunLimit, FlowAlarms, Alerts, AlertSpacing, Reports, SafeBoot, ProbeChecks, OfflineMemory, ContactFilters,
		BothPolarities, KeepsCharge}
}
