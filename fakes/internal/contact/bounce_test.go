package contact_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/contact"
	"ullage/harness/signal"
)

// bounces operates a contact of a kind once and returns its edges, counted from the change.
func bounces(kind contact.Kind, normallyClosed bool, seed uint64) []signal.Time {
	f := high()
	f.Kind, f.ClosedAtRest = kind, normallyClosed
	f.Start(0.5)
	f.Cross(0, drawOf(seed))
	return edges(f, signal.Never-1)
}

func TestBounceOfSwitches(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "bounce of mechanical switches",
		Equation:  "exponential up to the longest, one poor switch in eighteen",
		Source:    "Ganssle, A Guide to Debouncing (2004, revised 2014): 1557 µs mean and 6200 µs longest of 16 of 18 switches, one of 157 ms; verified in a secondary source",
		Tolerance: 0.02})
	const switches = 20000
	sum, longest, poor, ordinary := signal.Time(0), signal.Time(0), 0, 0
	for seed := range uint64(switches) {
		train := bounces(contact.Mechanical, false, seed)
		require.Equal(t, 1, len(train)%2, "a contact that ends where it began: %v", train)
		require.GreaterOrEqual(t, len(train), 3, "a mechanical switch that does not bounce")
		if last := train[len(train)-1]; last > 7*signal.Millisecond {
			poor++
			require.Equal(t, []signal.Time{0, 81 * signal.Millisecond, 123 * signal.Millisecond}, train[:3],
				"the poor switch closes for 81 ms and opens for 42 ms")
			require.Equal(t, 157*signal.Millisecond, last, "and has come to rest after 157 ms")
		} else {
			ordinary++
			sum += last
			longest = max(longest, last)
		}
	}
	c.Near(1557e-6, sum.Seconds()/float64(ordinary), "mean bounce of %d switches", ordinary)
	c.Near(6200e-6, longest.Seconds(), "longest bounce")
	assert.LessOrEqual(t, longest, 6200*signal.Millisecond/1000)
	assert.InDelta(t, switches/18.0, float64(poor), 120,
		"one in eighteen is a poor switch: a deviation of four standard errors")
}

// A switch is as good or as poor in its tenth operation as in its first.
func TestASwitchStaysWhatItIs(t *testing.T) {
	for seed := range uint64(60) {
		f := high()
		f.Kind = contact.Mechanical
		f.Start(0.5)
		var long []bool
		for i := range signal.Time(10) {
			f.Cross(i*signal.Second, drawOf(seed))
			train := edges(f, (i+1)*signal.Second-1)
			long = append(long, train[len(train)-1]-i*signal.Second > 7*signal.Millisecond)
		}
		for _, l := range long[1:] {
			require.Equal(t, long[0], l, "seed %d: a switch that is poor now and then", seed)
		}
	}
}

func TestReedsBounceLess(t *testing.T) {
	for seed := range uint64(200) {
		closing := bounces(contact.Reed, false, seed)
		last := closing[len(closing)-1]
		require.True(t, last >= signal.Millisecond/2 && last <= signal.Millisecond,
			"a reed bounces 0.5 to 1 ms when it closes, not %v", last)
		require.Len(t, bounces(contact.Reed, true, seed), 1, "reeds part without a bounce")
	}
}

// The fault's knobs take the place of the ordinary bounce.
func TestWornContactBouncesInstead(t *testing.T) {
	f := high()
	f.Kind, f.BounceTime, f.BounceEdges = contact.Mechanical, 0.15, 6
	f.Start(0.5)
	f.Cross(0, drawOf(1))
	assert.Len(t, edges(f, signal.Never-1), 7)
}
