package outcome_test

import (
	"fmt"

	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// A monitor judges while the run goes on, and gives the margin: here how far the level stayed below the rim.
func ExampleProperty() {
	trace := signal.NewTrace()
	level := trace.Declare(signal.Tank("header-tank").Level())
	begins := trace.Declare(signal.Script.Begins())
	below := outcome.Always(outcome.Condition{Signal: signal.Tank("header-tank").Level().Name(), Is: outcome.AtMost,
		Limit: 0.88})
	monitor, err := below.Monitor(outcome.Event{}, func(name string) (signal.ID, signal.Signal, bool) {
		id, ok := trace.Find(name)
		if !ok {
			return 0, signal.Signal{}, false
		}
		return id, trace.Signals()[id], true
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	trace.Watch(monitor)
	trace.Put(signal.Change{ID: begins, Value: 1})
	for minute, metres := range []float64{0.70, 0.76, 0.79, 0.74} {
		trace.Put(signal.Change{At: signal.Time(minute) * signal.Minute, ID: level, Value: metres})
	}
	trace.Close(signal.Hour)
	v := monitor.Verdict()
	fmt.Println(v.State, quantity.Format(v.Margin, v.Dim), "at", v.At)
	// Output: held 90 mm at 00:02:00
}
