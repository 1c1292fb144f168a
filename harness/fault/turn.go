package fault

import "ullage/harness/signal"

// Turn is one window on one knob: the knob has Value from From until Until, both counted from the beginning of the act
// that turns it. Until may be signal.Never: to the end of the run.
type Turn struct {
	Device string
	Knob   string
	Value  float64
	From   signal.Time
	Until  signal.Time
}
