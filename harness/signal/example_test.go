package signal_test

import (
	"fmt"

	"ullage/harness/signal"
)

// changes prints what reaches it.
type changes struct{ trace *signal.Trace }

func (c changes) Put(change signal.Change) {
	fmt.Println(change.At, c.trace.Signals()[change.ID].Name(), change.Value)
}
func (c changes) Close(end signal.Time) { fmt.Println(end, "end") }

// A sink is given every change as it happens, and the trace keeps it.
func ExampleTrace_Watch() {
	trace := signal.NewTrace()
	open := trace.Declare(signal.Valve("top-up").Open())
	trace.Watch(changes{trace})
	trace.Put(signal.Change{ID: open, Value: 0})
	trace.Put(signal.Change{At: 90 * signal.Second, ID: open, Value: 1})
	trace.Put(signal.Change{At: 91 * signal.Second, ID: open, Value: 1}) // no change
	trace.Close(2 * signal.Minute)
	fmt.Println("open after 100 s:", trace.At(open, 100*signal.Second))
	// Output:
	// 00:00:00 top-up.open 0
	// 00:01:30 top-up.open 1
	// 00:02:00 end
	// open after 100 s: 1
}

// Signals have one name each, typed by their device.
func ExampleValve() {
	s := signal.Valve("top-up").Disc()
	fmt.Println(s.Name(), s.Shape)
	// Output: top-up.disc linear
}
