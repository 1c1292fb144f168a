// Package harness is the contract: a stand and its loop. A stand is one controller, one site, one network and one
// clock, put together for one run, with one trace.
//
// # The story of a run
//
// A Script says what happens: the starting state, the acts (faults and stimuli, each with its moment) and the outcomes.
// Makers make the stand, one maker for each part: simulated, a program, real wiring. No maker knows of the others. What
// stands for something real is Exclusive: it exists only once at a time, and runs take turns on it.
//
// The Stand opens its parts, which declare their signals and offer their knobs, and then lets time pass. At each moment
// it waits for the Clock; then the order is script and faults, site, network, controller. The controller is given what
// has changed at its terminals and runs alone until it changes an output, sends something, or reaches the moment at
// which site, network or script have something new for it. The site then commits to exactly that moment. Nobody looks
// ahead of what the controller has done. When the context of the run ends, the run ends in that turn, with its outputs
// safe, and what it has recorded stays. Whoever wants sees every change as it happens; see Stand.Watch.
//
// # What a controller is
//
// A controller knows its terminals and its network and nothing else. A terminal carries a Pin: open-circuit volts,
// their slope and the source impedance behind them; what an input makes of that is decided by Input, one function for
// every controller that is not real.
//
// Over the network it sends and receives messages: a Frame is one. Frames stay messages. A network that simulates
// packets makes them of frames and reads frames out of them below this contract, inside itself: the controller and the
// loop see a publish, an acknowledgement, a command, whatever the radio, the addresses and the sessions had to do for
// it.
//
// What else there is of a controller is optional: its abilities (Can), what faults can turn inside it (Turnable), and
// what it records (ControllerSignals). A scenario that needs something which a controller or a stand does not offer is
// not run, with that reason (CannotError); it is neither failed nor broken. Package standtest checks that a controller
// keeps to all of this.
//
// # How a run is proven
//
// An outcome that held has proven something only if it was exercised. A Proof finds that out by twins, runs in which
// one act does nothing or one setting is that of the site file. ClosedLoop runs everything again, the controller too.
// OpenLoop is for a controller that cannot be run twice: what it did is played into the same site and network without
// the fault, and nothing is run on it again.
//
// Exercised is said of each outcome. It is when a signal that it looks at, or one that this follows from, differs from
// the twin's; or when what met the controller is an input of a rule that decides what the outcome looks at. The Rules
// are those of the settings, and the pipes of the site file say what each output decides. What met the controller is
// what the act did to its inputs, not what came of what the controller did. Other differences prove nothing.
//
// Where nothing moved what an outcome looks at, in the run or in the twin, there was nothing to be measured. The margin
// is then how far the input was from making its rule act: what a pulse fell short of the debounce, how far the water
// stayed from a float, a reading from its threshold, the supply from the reset, pulses from their alarm. Where there is
// no such distance the outcome has held and has no margin.
package harness
