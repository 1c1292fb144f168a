package runs

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"

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

// Run does a job. A panic ends the job and not the program.
func (l Local) Run(ctx context.Context, j *Job, watch ...signal.Sink) (result *harness.Result) {
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
	if ctx.Err() != nil {
		return stopped(ctx, j)
	}
	build, proof, err := l(j.Settings, j.sites)
	if err != nil {
		return notMade(j, err)
	}
	if j.Timeout > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeoutCause(ctx, j.Timeout,
			fmt.Errorf("the scenario took longer than %v of wall-clock time; --timeout gives it more", j.Timeout))
		defer cancel()
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
