// Package flows computes what an installer asks of a site: for every set of outputs that the controller's settings can
// open together, the pressure and flow at each part; how much less each outlet gets when two run; how fast the water is
// in the pipes; how long a tank fills and what a run takes; how evenly a zone waters; and whether an overflow carries
// what can run in.
//
// It reads no clock and no controller: each answer is a steady flow of the site's network (fakes/pipework,
// fakes/water), or an integral over such flows while levels change. Everything in a Report is in SI units; its JSON has
// the metric trade unit of each figure in the key.
package flows
