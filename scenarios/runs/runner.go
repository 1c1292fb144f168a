package runs

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios"
)

// Runner does jobs. It is safe for concurrent use.
type Runner interface {
	// Run does a job and returns what it came to, whatever that is: a run that could not be made is a result that says
	// why. The sinks watch the run itself and neither its twins nor the limits of tolerances: as it happens where it is
	// done in this process, else when its trace arrives.
	Run(ctx context.Context, j *Job, watch ...signal.Sink) *harness.Result
}

// Local does jobs in this process. It makes the stands that settings name, on sites that are found by name, and the
// proof that they ask for.
type Local func(Settings, harness.Sites) (harness.Builder, harness.Proof, error)

// On runs everything on the stands of one builder, by closed loops.
func On(build harness.Builder) Local { return ProvenBy(harness.ClosedLoop{}, build) }

// ProvenBy runs everything on the stands of one builder, and proves it so.
func ProvenBy(proof harness.Proof, build harness.Builder) Local {
	return func(Settings, harness.Sites) (harness.Builder, harness.Proof, error) { return build, proof, nil }
}

// Run does a job. A panic ends the job and not the program. A part of the stand that does not come back when its context
// ends, such as a controller that is caught in a loop, is left behind: it goes on taking up a processor until the
// program ends, and nobody listens to it any more.
func (l Local) Run(ctx context.Context, j *Job, watch ...signal.Sink) *harness.Result {
	if ctx.Err() != nil {
		return stopped(ctx, j)
	}
	if j.Timeout > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeoutCause(ctx, j.Timeout,
			fmt.Errorf("the scenario took longer than %v of wall-clock time; --timeout gives it more", j.Timeout))
		defer cancel()
	}
	doors := make([]*door, len(watch))
	guarded := make([]signal.Sink, len(watch))
	for i, sink := range watch {
		doors[i] = &door{to: sink}
		guarded[i] = doors[i]
	}
	done := make(chan *harness.Result, 1)
	go func() { done <- l.run(ctx, j, guarded) }()
	select {
	case result := <-done:
		return result
	case <-ctx.Done():
	}
	late, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	select {
	case result := <-done:
		return result
	case <-late.Done():
		for _, d := range doors {
			d.shut()
		}
		return notMade(j, &StuckError{Cause: context.Cause(ctx)})
	}
}

// patience is how long a run may take to stop once its context has ended.
const patience = time.Second

// StuckError says that a run did not stop although its context ended, and was left behind. It unwraps to why it was to
// stop.
type StuckError struct{ Cause error }

func (e *StuckError) Error() string {
	return fmt.Sprintf("%v; and the run did not stop within %v: a part of the stand, most likely the controller, is "+
		"caught in a loop or waits without end; --isolate runs each scenario in a process that can be ended", e.Cause,
		patience)
}

// Unwrap is why the run was to stop.
func (e *StuckError) Unwrap() error { return e.Cause }

// door lets the changes of a run through to a sink until it is shut.
type door struct {
	mu sync.Mutex
	to signal.Sink // nil once shut
}

// Begin is part of signal.Beginner.
func (d *door) Begin(signals []signal.Signal) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if b, ok := d.to.(signal.Beginner); ok {
		b.Begin(signals)
	}
}

// Put is part of signal.Sink.
func (d *door) Put(c signal.Change) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.to != nil {
		d.to.Put(c)
	}
}

// Close is part of signal.Sink.
func (d *door) Close(end signal.Time) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.to != nil {
		d.to.Close(end)
	}
}

func (d *door) shut() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.to = nil
}

// run does a job until its context ends.
func (l Local) run(ctx context.Context, j *Job, watch []signal.Sink) (result *harness.Result) {
	defer func() {
		p := recover()
		if err, is := p.(*signal.ReadBackError); is {
			result = notMade(j, err)
		} else if p != nil {
			result = notMade(j, fmt.Errorf("a defect of this program: %v\n%s", p, debug.Stack()))
		}
	}()
	script, problems := j.Script()
	if len(problems) > 0 {
		return notMade(j, problems)
	}
	build, proof, err := l(j.Settings, j.sites)
	if err != nil {
		return notMade(j, err)
	}
	if j.Proof != Unproven {
		return proof.Prove(ctx, build, script, watch...)
	}
	run, err := harness.RunOnce(ctx, build, script, watch...)
	if err != nil {
		result = notMade(j, err)
		result.Run = run
		return result
	}
	return &harness.Result{Script: script, Run: run, Verdicts: run.Verdicts}
}

// notMade is the result of a job that could not be made or is not run: the same for each of its outcomes.
func notMade(j *Job, err error) *harness.Result {
	compiled, _ := j.Script()
	script := *compiled
	script.Outcomes = nil
	r := &harness.Result{Script: &script, Err: err}
	state := outcome.Broken
	if _, is := errors.AsType[*harness.CannotError](err); is {
		state = outcome.NotRun
	}
	for _, step := range j.Scenario.Steps { // a script with problems lacks some
		if step.Kind == scenarios.Then {
			script.Outcomes = append(script.Outcomes, outcome.Outcome{Text: step.Text})
			r.Verdicts = append(r.Verdicts, outcome.Verdict{State: state, Why: err.Error()})
		}
	}
	return r
}

// Each calls do with 0 to n-1, so many at once, until one fails or the context ends. It returns when every call has
// returned, with what ended it first.
func Each(ctx context.Context, n, atOnce int, do func(ctx context.Context, i int) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	next := make(chan int)
	var wait sync.WaitGroup
	for range max(1, min(atOnce, n)) {
		wait.Go(func() {
			for i := range next {
				if err := do(ctx, i); err != nil {
					cancel(err)
				}
			}
		})
	}
	for i := 0; i < n && ctx.Err() == nil; i++ {
		select {
		case next <- i:
		case <-ctx.Done():
		}
	}
	close(next)
	wait.Wait()
	return context.Cause(ctx)
}
