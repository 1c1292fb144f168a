package scenarios

import (
	"slices"

	"ullage/harness"
	"ullage/harness/fault"
)

// opposites are pairs of faults that turn different knobs of a device, of which only one can have been there all along: a
// disc that does not come down and one that does not rise, a circuit that is open and one that is closed.
var opposites = [][2]string{
	{"valve.stuck-open", "valve.stuck-closed"},
	{"contact.broken-lead", "contact.shorted"},
	{"coil.open", "coil.shorted"},
	{"probe.unplugged", "probe.shorted-to-supply"},
	{"probe.unplugged", "probe.shorted-to-ground"},
}

// contradicts says when a standing condition turns what another one holds already, or is its opposite: what has been there
// all along is so and not otherwise. Windows of the story may overlap; how they join is said by the knob.
func (c *compiler) contradicts(act harness.Act) {
	for _, other := range c.script.Acts {
		switch {
		case !other.Given:
		case sharesKnob(act, other):
			c.fail("%s has been there all along already, and is about the same thing; expected one of the two", quote(other.Text))
			return
		case opposed(act, other):
			c.fail("%s has been there all along already, and is the opposite; expected one of the two", quote(other.Text))
			return
		}
	}
}

// sharesKnob tells whether two acts turn the same knob.
func sharesKnob(a, b harness.Act) bool {
	return slices.ContainsFunc(a.Turns, func(t fault.Turn) bool {
		return slices.ContainsFunc(b.Turns, func(o fault.Turn) bool { return o.Device == t.Device && o.Knob == t.Knob })
	})
}

// opposed tells whether two acts are opposite faults of one device.
func opposed(a, b harness.Act) bool {
	return a.Target == b.Target &&
		(slices.Contains(opposites, [2]string{a.Fault, b.Fault}) || slices.Contains(opposites, [2]string{b.Fault, a.Fault}))
}
