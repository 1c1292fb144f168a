package fault

import "ullage/harness/signal"

// Turn is one window on one knob: the knob has Value from From until Until, both counted from the beginning of the act
// that turns it. Until may be signal.Never: to the end of the run. With Over it goes there from rest in that time,
// evenly in RampSteps steps, and back at once when the window ends.
type Turn struct {
	Device string
	Knob   string
	Value  float64
	From   signal.Time
	Until  signal.Time
	Over   signal.Time
}

// RampSteps is in how many steps a knob goes to its value: of a hundredth of the way each.
const RampSteps = 100

// Step is the value after so many steps from rest, and when it is reached.
func (t Turn) Step(n int, rest float64) (value float64, at signal.Time) {
	if n >= RampSteps {
		return t.Value, t.From + t.Over
	}
	return rest + float64((t.Value-rest)*float64(n)/RampSteps), t.From + t.Over/RampSteps*signal.Time(n)
}
