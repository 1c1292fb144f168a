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
	refuses []signal.Time // when the attempts that are under way are given up, in order
	got     []harness.Frame
}

var _ harness.Network = (*Absent)(nil)

// OutOfRange returns the network of a site whose access point is out of range.
func OutOfRange(spec sitefile.WiFi) *Absent {
	return &Absent{joins: signal.FromSeconds(spec.Joins.Or(2).SI)}
}

// Open declares and offers nothing.
func (a *Absent) Open(context.Context, signal.Recorder, *fault.Panel, harness.Draw) error { return nil }

// Next is when an attempt is refused.
func (a *Absent) Next() signal.Time {
	if len(a.refuses) > 0 {
		return a.refuses[0]
	}
	return signal.Never
}

// Advance takes what the controller sent, and refuses the attempts whose time has come.
func (a *Absent) Advance(_ context.Context, to signal.Time, sent []harness.Frame) ([]harness.Frame, error) {
	for _, f := range sent {
		if f.Kind == harness.Connect {
			a.refuses = append(a.refuses, to+a.joins)
		}
	}
	a.got = a.got[:0]
	for len(a.refuses) > 0 && a.refuses[0] <= to {
		a.got = append(a.got, harness.Frame{At: to, Kind: harness.Refused})
		a.refuses = a.refuses[1:]
	}
	return a.got, nil
}

// Close lets go; there is nothing to make safe.
func (a *Absent) Close() error { return nil }
