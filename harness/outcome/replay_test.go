package outcome

import "ullage/harness/signal"

// replay hands every change of a closed trace to a sink in order of time, and then its end. Of the changes at one
// moment those of a lower numbered signal come first, each signal's own in their order; monitors judge a moment as a
// whole, so that their verdicts are those of the run itself.
func replay(t *signal.Trace, to signal.Sink) {
	next := make([]int, len(t.Signals()))
	for {
		first, at := -1, signal.Never
		for id := range next {
			if c := t.Column(signal.ID(id)); next[id] < len(c.At) && (first < 0 || c.At[next[id]] < at) {
				first, at = id, c.At[next[id]]
			}
		}
		if first < 0 {
			to.Close(t.End())
			return
		}
		to.Put(signal.Change{At: at, ID: signal.ID(first), Value: t.Column(signal.ID(first)).Value[next[first]]})
		next[first]++
	}
}
