package scenarios

import (
	"context"
	"fmt"
	"io"
	"runtime/debug"
	"sync"
	"time"

	"github.com/cucumber/godog"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/internal/phrases"
)

// Options say what to run, on what, and how.
type Options struct {
	Library     *Library
	Select      Selection
	Seed        uint64
	Build       harness.Builder
	Proof       harness.Proof                              // nil: closed-loop twins
	Concurrency int                                        // scenarios at once; below 1: one
	Shuffle     int64                                      // other than 0: run in an order drawn from this number
	Nominal     bool                                       // leave out the corners of the sites' tolerances
	Timeout     time.Duration                              // for one scenario, by the wall clock; 0: two minutes
	OnResult    func(*harness.Result)                      // called once a scenario, one call at a time, in the order in which they are done
	Watch       func(*harness.Script) (signal.Sink, error) // called once a scenario that is run, concurrently: who watches it; nil: nobody
}

// Run runs the selected scenarios and returns a result for each, in the order of the files, whatever order they ran in.
// A scenario that cannot be compiled has a result that says so. An error means that there are no results: a file that
// cannot be read, a selection that is wrong or chooses nothing, or a run of which scenarios are missing.
func Run(ctx context.Context, o Options) ([]*harness.Result, error) {
	chosen, err := o.Library.Select(o.Select)
	if err != nil {
		return nil, err
	}
	r := &runner{Options: o, index: map[string]int{}, chosen: chosen, results: make([]*harness.Result, len(chosen))}
	for i, sc := range chosen {
		r.index[key(sc.File, sc.Line)] = i
	}
	suite := godog.TestSuite{
		Name:                "ullage",
		ScenarioInitializer: r.scenario,
		Options: &godog.Options{Format: "progress", Output: io.Discard, NoColors: true, Strict: true,
			Concurrency: max(1, o.Concurrency), Randomize: o.Shuffle, DefaultContext: ctx, FeatureContents: r.contents()},
	}
	status := suite.Run()
	return r.finish(status)
}

// runner is one run of the suite.
type runner struct {
	Options
	chosen []*Case
	index  map[string]int // by file and line

	mu      sync.Mutex // guards results, and calls of OnResult
	results []*harness.Result
}

func key(file string, line int) string { return fmt.Sprintf("%s:%d", file, line) }

// contents are the feature files that hold a chosen scenario.
func (r *runner) contents() []godog.Feature {
	wanted := map[string]bool{}
	for _, sc := range r.chosen {
		wanted[sc.File] = true
	}
	var files []godog.Feature
	for _, f := range r.Library.features {
		if wanted[f.name] {
			files = append(files, godog.Feature{Name: f.name, Contents: f.text})
		}
	}
	return files
}

// scenario registers the phrases for one scenario. The scenario is run as a whole before its first step; a step then
// says what became of it.
func (r *runner) scenario(sc *godog.ScenarioContext) {
	var result *harness.Result
	outcomes := map[string]int{} // step -> which outcome of the script
	present := ""
	sc.Before(func(ctx context.Context, pickle *godog.Scenario) (context.Context, error) {
		i, chosen := r.index[key(pickle.Uri, int(pickle.Location.Line))]
		if !chosen {
			return ctx, godog.ErrSkip
		}
		for n, step := range r.chosen[i].Steps {
			if step.Kind == Then {
				outcomes[pickle.Steps[n].Id] = len(outcomes)
			}
		}
		result = r.prove(ctx, r.chosen[i])
		r.put(i, result)
		if result.Worst() == outcome.NotRun {
			return ctx, godog.ErrSkip
		}
		return ctx, result.Err
	})
	sc.StepContext().Before(func(ctx context.Context, step *godog.Step) (context.Context, error) {
		present = step.Id
		return ctx, nil
	})
	tell := func(context.Context) error {
		if i, ok := outcomes[present]; ok {
			return verdictError(result.Verdicts[i])
		}
		return nil
	}
	for _, p := range phrases.Language().Phrases {
		if p.Kind&Given != 0 {
			sc.Given(p.Made.Expr, tell)
		}
		if p.Kind&When != 0 {
			sc.When(p.Made.Expr, tell)
		}
		if p.Kind&Then != 0 {
			sc.Then(p.Made.Expr, tell)
		}
	}
}

// verdictError is nil for an outcome that held.
func verdictError(v outcome.Verdict) error {
	if v.State == outcome.Held {
		return nil
	}
	return fmt.Errorf("%v: %s", v.State, v.Why)
}

// prove runs a scenario. A panic ends the scenario and not the run.
func (r *runner) prove(ctx context.Context, c *Case) (result *harness.Result) {
	script := c.Script(r.Seed)
	defer func() {
		if p := recover(); p != nil {
			result = broken(script, c, fmt.Errorf("a defect of this program: %v\n%s", p, debug.Stack()))
		}
	}()
	if len(c.Problems) > 0 {
		return broken(script, c, c.Problems)
	}
	if r.Nominal {
		script.Corners = nil
	}
	timeout := r.Timeout
	if timeout == 0 {
		timeout = 2 * time.Minute
	}
	ctx, cancel := context.WithTimeoutCause(ctx, timeout, fmt.Errorf("the scenario took longer than %v", timeout))
	defer cancel()
	var watch []signal.Sink
	if r.Watch != nil {
		sink, err := r.Watch(script)
		if err != nil {
			return broken(script, c, err)
		}
		watch = append(watch, sink)
	}
	proof := r.Proof
	if proof == nil {
		proof = harness.ClosedLoop{}
	}
	return proof.Prove(ctx, r.Build, script, watch...)
}

// broken is the result of a scenario that could not be made: the same for each of its outcomes.
func broken(script *harness.Script, c *Case, err error) *harness.Result {
	script.Outcomes = nil
	result := &harness.Result{Script: script, Err: err}
	for _, step := range c.Steps {
		if step.Kind == Then {
			script.Outcomes = append(script.Outcomes, outcome.Outcome{Text: step.Text})
			result.Verdicts = append(result.Verdicts, outcome.Verdict{State: outcome.Broken, Why: err.Error()})
		}
	}
	return result
}

// put keeps a result.
func (r *runner) put(i int, result *harness.Result) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.results[i] = result
	if r.OnResult != nil {
		r.OnResult(result)
	}
}

// finish counts what ran: godog must have run every chosen scenario, and must think of the whole as the results do.
func (r *runner) finish(status int) ([]*harness.Result, error) {
	held := true
	for i, result := range r.results {
		if result == nil {
			return nil, fmt.Errorf("%s:%d was selected and has not been run", r.chosen[i].File, r.chosen[i].Line)
		}
		worst := result.Worst()
		held = held && (worst == outcome.Held || worst == outcome.NotRun)
	}
	if held != (status == 0) {
		return nil, fmt.Errorf("the runner ended with status %d, which does not agree with the results", status)
	}
	return r.results, nil
}
