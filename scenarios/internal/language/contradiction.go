package language

import (
	"slices"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/spelling"
)

// contradicts says when a standing condition turns what another one holds already, or is its opposite: what has been
// there all along is so and not otherwise. Windows of the story may overlap; how they join is said by the knob.
func (c *Compiler) contradicts(act harness.Act) {
	for _, other := range c.Script.Acts {
		switch {
		case !other.Given:
		case sharesKnob(act, other):
			c.Fail("%s has been there all along already, and is about the same thing; expected one of the two",
				spelling.Quote(other.Text))
			return
		case opposed(act, other):
			c.Fail("%s has been there all along already, and is the opposite; expected one of the two",
				spelling.Quote(other.Text))
			return
		}
	}
}

// sharesKnob reports whether two acts turn the same knob.
func sharesKnob(a, b harness.Act) bool {
	return slices.ContainsFunc(a.Turns, func(t fault.Turn) bool {
		return slices.ContainsFunc(b.Turns, func(o fault.Turn) bool { return o.Device == t.Device && o.Knob == t.Knob })
	})
}

// opposed reports whether two acts are opposite faults of one device.
func opposed(a, b harness.Act) bool {
	one, _ := fault.Find(a.Fault)
	other, _ := fault.Find(b.Fault)
	return a.Target == b.Target && (one.Opposite == b.Fault || other.Opposite == a.Fault)
}
