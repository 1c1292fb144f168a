package harness

import (
	"context"
	"fmt"

	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// ControllerKnob is something inside a controller that a fault turns: its reset line, its loop, its memory, its clock.
// What comes in at its terminals and from the network is turned there.
type ControllerKnob string

// The knobs that controllers can offer. Values are in the SI unit of their dimension; see the table below for range and
// rest.
const (
	KnobReset ControllerKnob = "reset" // 0 to 1 pulls the reset line: every output opens, it boots
	// 0 to 1 stops the loop, outputs as they are, until the watchdog bites
	KnobHang         ControllerKnob = "hang"
	KnobWatchdog     ControllerKnob = "watchdog"      // 0 takes the watchdog away
	KnobPinsFloat    ControllerKnob = "pins float"    // how long the drivers see floating pins at each boot, s
	KnobUpdate       ControllerKnob = "update"        // an update that takes so long to be written is applied, s
	KnobSettingsTorn ControllerKnob = "settings torn" // 1 leaves one copy of the settings neither old nor new
	// 1 restarts it with the settings of the factory: no rule is in use
	KnobSettingsLost ControllerKnob = "settings lost"
	// another longest run of a fill is set, s; 0: that of the settings
	KnobLongestRun ControllerKnob = "longest run"
	KnobClockStep  ControllerKnob = "clock step"  // its time of day is set so much forward, s; negative back
	KnobClockUnset ControllerKnob = "clock unset" // 1 takes the time of day away
	KnobCounter    ControllerKnob = "counter"     // what its counter of milliseconds stands at; 0 leaves it
	KnobOscillator ControllerKnob = "oscillator"  // ticks that it counts in one of true time
)

// controllerKnobs are the knobs in the order above.
var controllerKnobs = []fault.Knob{
	{Name: string(KnobReset), Dim: quantity.State, Max: 1, Join: fault.Largest},
	{Name: string(KnobHang), Dim: quantity.State, Max: 1, Join: fault.Largest},
	{Name: string(KnobWatchdog), Dim: quantity.State, Max: 1, Rest: 1, Join: fault.Smallest},
	{Name: string(KnobPinsFloat), Dim: quantity.Duration, Max: 10, Join: fault.Largest},
	{Name: string(KnobUpdate), Dim: quantity.Duration, Max: 600, Join: fault.Largest},
	{Name: string(KnobSettingsTorn), Dim: quantity.State, Max: 1, Join: fault.Largest},
	{Name: string(KnobSettingsLost), Dim: quantity.State, Max: 1, Join: fault.Largest},
	{Name: string(KnobLongestRun), Dim: quantity.Duration, Max: 86400, Join: fault.Largest},
	{Name: string(KnobClockStep), Dim: quantity.Duration, Min: -7 * 86400, Max: 7 * 86400, Join: fault.Add},
	{Name: string(KnobClockUnset), Dim: quantity.State, Max: 1, Join: fault.Largest},
	{Name: string(KnobCounter), Dim: quantity.Count, Max: 1 << 32, Join: fault.Replace},
	{Name: string(KnobOscillator), Dim: quantity.None, Min: 0.5, Max: 2, Rest: 1, Join: fault.Multiply},
}

// ControllerKnobs lists every knob that a controller can offer.
func ControllerKnobs() []ControllerKnob {
	var list []ControllerKnob
	for _, k := range controllerKnobs {
		list = append(list, ControllerKnob(k.Name))
	}
	return list
}

// Range is what a knob takes, and the value at which the controller is untouched to the bit.
func (k ControllerKnob) Range() (least, most, rest float64, err error) {
	knob, err := k.find()
	return knob.Min, knob.Max, knob.Rest, err
}

func (k ControllerKnob) find() (fault.Knob, error) {
	for _, knob := range controllerKnobs {
		if knob.Name == string(k) {
			knob.Device, knob.Kind = string(signal.Controller), "controller"
			return knob, nil
		}
	}
	return fault.Knob{}, fmt.Errorf("%q is no knob of controllers; they are %q", string(k), ControllerKnobs())
}

// Turnable is a controller of which faults can reach the inside. It is optional, knob by knob: a scenario that turns
// what a controller does not offer is not run on it, with that reason.
type Turnable interface {
	// Knobs lists what it offers. It is asked once, after Open.
	Knobs() []ControllerKnob
	// Turn turns a knob that it offers, at a moment which is the present of the run and not yet advanced beyond. The
	// value is within the knob's range. With the rest value the controller is to the bit as if it had never been
	// touched.
	Turn(at signal.Time, knob ControllerKnob, value float64) error
}

// OpenController opens a controller and offers on the panel what it lets faults turn.
func OpenController(ctx context.Context, c Controller, record signal.Recorder, panel *fault.Panel, draw Draw) error {
	if err := c.Open(ctx, record, panel, draw); err != nil {
		return err
	}
	t, ok := c.(Turnable)
	if !ok {
		return nil
	}
	for _, k := range t.Knobs() {
		knob, err := k.find()
		if err != nil {
			return fmt.Errorf("controller: %w", err)
		}
		knob.Set = func(at signal.Time, value float64) error { return t.Turn(at, k, value) }
		panel.Offer(knob)
	}
	return nil
}

// ControllerSignals lists every signal that a controller with these terminals may record beyond what the stand records
// at its terminals; what each means is said where it is named, in package signal. All are optional: a controller
// declares in Open those that it records, and a scenario that looks at another is not run on it, with that reason.
func ControllerSignals(terminals []Terminal) []signal.Signal {
	c := signal.Controller
	list := []signal.Signal{c.Powered(), c.Filling(), c.LockedOut(), c.Moisture(), c.InternalFault()}
	for _, t := range terminals {
		switch t.Kind {
		case OutputTerminal:
			list = append(list, signal.Output(t.Name).Command())
		case ContactTerminal:
			list = append(list, c.ContactOperated(t.Name))
		}
	}
	for _, alert := range AlertNames() {
		list = append(list, c.Alert(alert))
	}
	return list
}
