// Package water computes the steady flow of water in a pipe network.
//
// A Network is described part by part (junctions, tanks, pipes, valves,
// pumps, outlets), compiled once, and then solved as often as something
// changes: a valve moves, a supply drops, a tank fills. The method is the
// global gradient algorithm (E. Todini and S. Pilati, A gradient algorithm
// for the analysis of pipe networks, 1988): Newton's method on the energy
// equation of every link and the continuity of every node at once, with the
// flows eliminated, so that each step solves one sparse symmetric system for
// the heads.
//
// Heads are metres of water above one datum, levels and heights metres, flows
// cubic metres per second, volumes cubic metres. Flow through a link counts
// positive from its first node to its second.
//
// Outlets and supplies are links too, to fixed heads of their own. Tanks enter
// implicitly: within a step the level that comes out is the level that the
// flows were computed with, which is stable for any step.
//
// The first steps are bold: whole, and parts switch as soon as their state looks
// wrong. A flow that has not settled then is sought with care: with a line
// search on the content, a convex function that the flow minimises, and one
// part switching at a time. Water at rest between non-return valves may stand
// at any head between those beyond them.
//
// What cannot settle is an error that names the parts; what no supply reaches
// is reported as isolated, with no flow. Nor is there any flow, to the last
// digit, in a dead end, which leads only to parts that are shut or closed.
//
// # Concurrency
//
// A Network and a Solver each belong to one goroutine at a time. Solvers of
// different networks share nothing that changes.
//
// It is no API: it serves fakes/site and the design tools.
package water
