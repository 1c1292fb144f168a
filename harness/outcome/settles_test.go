package outcome

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// A valve that is open has to close within 5 s of a contact operating at 10 s. Deadlines are in time to the nanosecond,
// and what happens at the moment of the event happened in answer to it.
func TestSettlesAtTheLimits(t *testing.T) {
	const s = signal.Second
	const contact, valve = 1, 2
	operates := signal.Change{At: 10 * s, ID: contact, Value: 1}
	closes := func(at signal.Time) signal.Change { return signal.Change{At: at, ID: valve, Value: 0} }
	opens := func(at signal.Time) signal.Change { return signal.Change{At: at, ID: valve, Value: 1} }
	for name, c := range map[string]struct {
		changes []signal.Change
		end     signal.Time
		state   State
		margin  float64
	}{
		"at the deadline":                   {[]signal.Change{operates, closes(15 * s)}, 20 * s, Held, 0},
		"at the deadline, which is the end": {[]signal.Change{operates, closes(15 * s)}, 15 * s, Held, 0},
		"a nanosecond late":                 {[]signal.Change{operates, closes(15*s + 1)}, 20 * s, Failed, -1e-9},
		"not at all":                        {[]signal.Change{operates}, 20 * s, Failed, -5},
		"the run ends before the deadline":  {[]signal.Change{operates, closes(11 * s)}, 15*s - 1, NotExercised, 0},
		"at once, the contact first":        {[]signal.Change{operates, closes(10 * s)}, 20 * s, Held, 5},
		"at once, the valve first":          {[]signal.Change{closes(10 * s), operates}, 20 * s, Held, 5},
		"closed before":                     {[]signal.Change{closes(10*s - 1), operates}, 20 * s, NotExercised, 0},
		"opens again before the deadline": {[]signal.Change{operates, closes(11 * s), opens(14 * s),
			closes(14*s + s/2)}, 20 * s, Held, 0.5},
		"opens again at the deadline": {[]signal.Change{operates, closes(11 * s), opens(15 * s)}, 20 * s,
			Failed, -5},
		"opens again just after the deadline": {[]signal.Change{operates, closes(11 * s), opens(15*s + 1)}, 20 * s,
			Held, 4},
	} {
		r := newRecord(signal.Signal{Device: "contact", Quantity: "operated", Dim: quantity.State},
			signal.Signal{Device: "valve", Quantity: "open", Dim: quantity.State})
		r.Put(signal.Change{})
		r.Put(signal.Change{ID: contact})
		r.Put(opens(0))
		for _, change := range c.changes {
			r.Put(change)
		}
		r.Close(c.end)
		v := judgeOf(t, r, SettlesWithin(Event{Condition{Signal: "contact.operated", Is: On}}, 5*s,
			Condition{Signal: "valve.open", Is: Off}))
		assert.Equal(t, c.state, v.State, "%s: %s", name, v.Why)
		assert.InDelta(t, c.margin, v.Margin, 1e-12, name)
	}
}
