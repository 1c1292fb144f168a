// Package clock paces runs. A run counts its own time from 0, whatever paces it; its clock says how long each moment is
// waited for. Virtual time passes as fast as the parts of the stand compute it. Wall is the one part of a stand whose
// subject is the time of the wall, which nothing else in a run may read.
package clock

import (
	"context"
	"time"

	"ullage/harness/signal"
)

// Virtual is a clock that never waits.
type Virtual struct{ now signal.Time }

// Start makes the present moment 0.
func (v *Virtual) Start() { v.now = 0 }

// Now is the latest moment that was waited for.
func (v *Virtual) Now() signal.Time { return v.now }

// Wait goes on to a moment at once. It fails only when the context has ended, with its cause.
func (v *Virtual) Wait(ctx context.Context, until signal.Time) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	v.now = max(v.now, until)
	return nil
}

// Wall is a clock on which a second of the run takes a second. It reads the monotonic clock of the machine.
type Wall struct{ start time.Time }

// Start makes the present moment 0.
func (w *Wall) Start() { w.start = time.Now() }

// Now is the time since Start; 0 before it.
func (w *Wall) Now() signal.Time {
	if w.start.IsZero() {
		return 0
	}
	return signal.Time(time.Since(w.start))
}

// Wait returns when a moment has come, at once when it has passed, and with the context's cause as soon as that ends.
func (w *Wall) Wait(ctx context.Context, until signal.Time) error {
	ahead := until - w.Now()
	if ahead <= 0 {
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		return nil
	}
	timer := time.NewTimer(time.Duration(ahead))
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return context.Cause(ctx)
	case <-timer.C:
		return nil
	}
}
