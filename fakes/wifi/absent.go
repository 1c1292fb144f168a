package wifi

import (
	"context"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Absent is a network without an access point in range: whoever tries to join is refused after the time that joining
// takes, and what is published reaches nobody. There is no access point and no cloud that a fault could be injected
// into, or that could record anything. It implements harness.Network.
type Absent struct {
	joins   signal.Time
	refuses signal.Time // when the latest attempt is given up; Never when none is under way
	got     []harness.Frame
}

var _ harness.Network = (*Absent)(nil)

// OutOfRange returns the network of a site whose access point is out of range.
func OutOfRange(spec sitefile.WiFi) *Absent {
	return &Absent{joins: signal.FromSeconds(spec.Joins.Or(2).SI), refuses: signal.Never}
}

// Open declares and offers nothing.
func (a *Absent) Open(context.Context, signal.Recorder, *fault.Panel, harness.Draw) error { return nil }

// Next is when an attempt is refused.
func (a *Absent) Next() signal.Time { return a.refuses }

// Advance takes what the controller sent, and refuses the attempt whose time has come. One that another has followed is
// not answered any more.
func (a *Absent) Advance(_ context.Context, to signal.Time, sent []harness.Frame) ([]harness.Frame, error) {
	for _, f := range sent {
		if f.Kind == harness.Connect {
			a.refuses = to + a.joins
		}
	}
	a.got = a.got[:0]
	if a.refuses <= to {
		a.got = append(a.got, harness.Frame{At: to, Kind: harness.Refused})
		a.refuses = signal.Never
	}
	return a.got, nil
}

// Close lets go; there is nothing to make safe.
func (a *Absent) Close() error { return nil }
