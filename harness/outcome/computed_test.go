package outcome

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Nothing is held where there is no figure: neither when something happened whose figure was not computed, nor when
// nothing happened at all. A figure that fails has failed, whatever else there is.
func TestFigured(t *testing.T) {
	figure := signal.Signal{Device: "x", Quantity: "surge", Dim: quantity.Pressure, Shape: signal.Event}
	missed := signal.Signal{Device: "x", Quantity: "missed", Shape: signal.Event}
	type change struct {
		at     float64
		missed bool
		value  float64
	}
	for name, c := range map[string]struct {
		changes []change
		state   State
		why     string
	}{
		"a figure":                {[]change{{2, false, 3}}, Held, ""},
		"a figure above":          {[]change{{2, false, 7}}, Failed, ""},
		"none":                    {nil, NotRecorded, "nothing happened"},
		"one before, none after":  {[]change{{0.5, false, 3}}, NotRecorded, "nothing happened"},
		"a figure and a gap":      {[]change{{2, false, 3}, {3, true, 4}}, NotRecorded, "cause 4"},
		"a gap before and a good": {[]change{{0.5, true, 4}, {2, false, 3}}, Held, ""},
		"a gap, then above":       {[]change{{2, true, 4}, {3, false, 7}}, Failed, ""},
	} {
		r := newRecord(figure, missed)
		begun := false
		for _, x := range append(c.changes, change{at: 9}) {
			if x.at >= 1 && !begun {
				begun = true
				r.Put(signal.Change{At: seconds(1), ID: 0, Value: 1})
			}
			if x.at < 9 {
				id := signal.ID(1)
				if x.missed {
					id = 2
				}
				r.Put(signal.Change{At: seconds(x.at), ID: id, Value: x.value})
			}
		}
		r.Close(seconds(10))
		p := Figured(Always(Condition{Signal: "x.surge", Is: AtMost, Limit: 5}), figure, missed,
			func(figure float64) string { return "cause 4" })
		v := judgeOf(t, r, p)
		assert.Equal(t, c.state, v.State, "%s: %s", name, v.Why)
		assert.Contains(t, v.Why, c.why, name)
	}
	assert.Equal(t, []string{"x.surge", "x.missed"},
		Figured(Always(Condition{Signal: "x.surge", Is: AtMost, Limit: 5}), figure, missed, nil).Signals())
}
