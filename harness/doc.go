// Package harness is the stand and its loop: one controller, one site, one network, one clock, one trace, put together.
//
// The story of a run. A script says what happens: the starting state, the acts (faults and stimuli, each with its
// moment) and the outcomes. The Stand opens its parts, which declare their signals and offer their knobs, and then lets
// time pass. At each moment the order is script and faults, site, network, controller. The controller is given what has
// changed at its terminals and runs alone until it changes an output, sends something, or reaches the moment at which
// site, network or script have something new for it. The site then commits to exactly that moment. Nobody looks ahead of
// what the controller has done.
//
// A controller knows its terminals and its network and nothing else. A terminal carries a Pin: open-circuit volts, their
// slope and the source impedance behind them; what an input makes of that is decided by Input, one function for every
// controller that is not real.
//
// Prove runs a script and its twin, the same without the acts, and says of every outcome whether it held, by how much,
// and whether it was exercised at all.
package harness
