package contact

import (
	"ullage/harness/numeric"
	"ullage/harness/signal"
)

// Kind is what a contact is made of; it decides how the contact bounces.
type Kind uint8

// The kinds of contact.
const (
	Clean      Kind = iota // makes one edge at each change
	Mechanical             // snap-action switch: blades that rebound when they close and when they open
	Reed                   // reeds that rebound when they close, and part at once
)

// How long a mechanical switch bounces. J. Ganssle, A Guide to Debouncing (2004, revised 2014), as cited by secondary
// sources: 16 of 18 switches bounced for 1557 µs on average and 6200 µs at most; one closed for 81 ms, opened for 42 ms
// and had rested after 157 ms. That sample is taken for what the switches of a site are drawn from: one switch in
// eighteen is a poor one. The others follow the exponential distribution that ends at the longest and has the mean.
const (
	longestBounce = 6200e-6   // s
	typicalBounce = 1736.4e-6 // s, constant of the exponential between 0 and 6.2 ms whose mean is 1557 µs
	poor          = 1.0 / 18  // share of the switches that bounce like the outlier
	poorCloses    = 0.081     // s, it first stays changed for so long
	poorOpens     = 0.042     // s, and then goes back for so long
	poorRests     = 0.157     // s, when it has come to rest
	reedLeast     = 0.5e-3    // s; reeds: 0.5 to 1 ms, a maker's note on reed bounce, verified as a secondary source
	reedMost      = 1e-3      // s
	mostPairs     = 3         // of further edges in one bounce (common practice, no source)
)

// bounce appends the further edges of one change of the contact, an even number, the last one at the end of the bounce.
func (f *Float) bounce(at signal.Time, closes bool, draw Draw) {
	after := func(seconds float64) {
		f.train = append(f.train, at+max(1, signal.FromSeconds(seconds)))
	}
	switch {
	case f.Kind == Mechanical && f.isPoor(draw):
		after(poorCloses)
		after(poorCloses + poorOpens)
		after(poorCloses + poorOpens + float64(f.uniform(draw)*(poorRests-poorCloses-poorOpens)))
		after(poorRests)
		return
	case f.Kind == Mechanical:
		share := 1 - numeric.Exp(-longestBounce/typicalBounce)
		f.spread(after, -float64(typicalBounce*numeric.Log(1-float64(f.uniform(draw)*share))), draw)
	case f.Kind == Reed && closes:
		f.spread(after, reedLeast+float64(f.uniform(draw)*(reedMost-reedLeast)), draw)
	}
}

// spread puts one to three pairs of edges into a bounce of a length, the last of them at its end.
func (f *Float) spread(after func(float64), length float64, draw Draw) {
	pairs := 1 + min(int(mostPairs*f.uniform(draw)), mostPairs-1)
	for range 2*pairs - 1 {
		after(length * f.uniform(draw))
	}
	after(length)
}

// isPoor reports whether this switch is the one of eighteen; a switch stays what it is through a run.
func (f *Float) isPoor(draw Draw) bool { return draw("poor switch", 0) < poor }

// uniform is the next number of this contact.
func (f *Float) uniform(draw Draw) float64 {
	f.ordinal++
	return draw("bounce", f.ordinal)
}
