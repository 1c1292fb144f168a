package runs_test

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/runs"
)

// caught is a controller that at some moment does not come back any more, whatever happens to the context, until the
// test lets it go.
type caught struct {
	harness.Controller
	at    signal.Time
	letGo <-chan struct{}
}

func (c caught) Advance(ctx context.Context, to signal.Time, in []harness.Pin, got []harness.Frame) (signal.Time,
	[]harness.Pin, []harness.Frame, error) {
	reached, out, sent, err := c.Controller.Advance(ctx, to, in, got)
	if reached >= c.at {
		<-c.letGo
	}
	return reached, out, sent, err
}

// listener counts what it is given.
type listener struct {
	mu      sync.Mutex
	changes int
}

func (l *listener) Put(signal.Change) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.changes++
}

func (l *listener) Close(signal.Time) { l.Put(signal.Change{}) }

func (l *listener) count() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.changes
}

// A controller that is caught in a loop ends with the time of its scenario, or when the program is to stop, and says so.
func TestAControllerCaughtInALoop(t *testing.T) {
	for _, c := range []struct {
		name    string
		timeout time.Duration
		stop    time.Duration
		why     string
	}{
		{"time is over", 300 * time.Millisecond, time.Hour, "the scenario took longer than 300ms"},
		{"told to stop", time.Hour, 300 * time.Millisecond, "terminated"},
	} {
		t.Run(c.name, func(t *testing.T) {
			letGo := make(chan struct{})
			free := sync.OnceFunc(func() { close(letGo) })
			defer free()
			returned := make(chan struct{}, 100)
			local := runs.Local(func(_ runs.Settings, sites harness.Sites) (harness.Builder, harness.Proof, error) {
				build := stand.Builder(sites, stand.Simulated())
				return func(ctx context.Context, script *harness.Script) (*harness.Stand, error) {
					s, err := build(ctx, script)
					if err == nil {
						s.Controller = caught{s.Controller, signal.Second, letGo}
					}
					return s, err
				}, proofThatSays{returned}, nil
			})
			with := settings
			with.Timeout = c.timeout
			job := jobs(t, with)[0]
			ctx, cancel := context.WithCancelCause(t.Context())
			time.AfterFunc(c.stop, func() { cancel(errors.New("terminated")) })
			var heard listener
			began := time.Now()
			r := local.Run(ctx, job, &heard)
			assert.Less(t, time.Since(began), 30*time.Second)
			var stuck *runs.StuckError
			require.ErrorAs(t, r.Err, &stuck)
			assert.ErrorContains(t, r.Err, c.why)
			require.NotEmpty(t, r.Verdicts)
			assert.Equal(t, outcome.Broken, r.Worst())
			before := heard.count()
			assert.Positive(t, before, "what was recorded before the loop is gone")
			free()
			<-returned
			assert.Equal(t, before, heard.count(), "a run that was left behind still writes")
		})
	}
}

// proofThatSays is the proof by closed loops, which says when it has come back.
type proofThatSays struct{ returned chan<- struct{} }

func (p proofThatSays) Prove(ctx context.Context, build harness.Builder, script *harness.Script,
	watch ...signal.Sink) *harness.Result {
	defer func() { p.returned <- struct{}{} }()
	return harness.ClosedLoop{}.Prove(ctx, build, script, watch...)
}
