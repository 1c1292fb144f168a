package runs

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"regexp"
	"sync"
	"time"

	"github.com/cucumber/godog"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios"
)

// Options say what to run, on what, and how.
type Options struct {
	Library     *scenarios.Library
	Select      scenarios.Selection
	Settings           // of every scenario; a timeout of 0 is the DefaultTimeout
	Runner      Runner // that does them
	Concurrency int    // scenarios at once; below 1: one
	Shuffle     int64  // other than 0: run in an order drawn from this number
	// called once a scenario, one call at a time, in the order in which they are done; it may drop a Run
	OnResult func(*harness.Result)
	// called once a scenario that is run, concurrently: who watches it; nil: nobody
	Watch func(*harness.Script) (signal.Sink, error)
}

// DefaultTimeout is how long a scenario may take by the wall clock.
const DefaultTimeout = 2 * time.Minute

// Suite runs the selected scenarios and returns a result for each, in the order of the files, whatever order they ran
// in. A scenario that cannot be compiled has a result that says so. An error means that there are no results: a file
// that cannot be read, a selection that is wrong or chooses nothing, or a run of which scenarios are missing.
func Suite(ctx context.Context, o Options) ([]*harness.Result, error) {
	chosen, err := o.Library.Select(o.Select)
	if err != nil {
		return nil, err
	}
	o.Timeout = cmp.Or(o.Timeout, DefaultTimeout)
	o.Proof = cmp.Or(o.Proof, ClosedLoop)
	r := &runner{Options: o, index: map[string]int{}, chosen: chosen, results: make([]*harness.Result, len(chosen))}
	for i, sc := range chosen {
		r.index[key(sc.File, sc.Line)] = i
	}
	suite := godog.TestSuite{
		Name:                "ullage",
		ScenarioInitializer: r.scenario,
		Options: &godog.Options{Format: "progress", Output: io.Discard, NoColors: true, Strict: true,
			Concurrency: max(
				1,
				o.Concurrency,
			), Randomize: o.Shuffle, DefaultContext: ctx, FeatureContents: r.contents()},
	}
	status := suite.Run()
	return r.finish(status)
}

// runner is one run of the suite.
type runner struct {
	Options
	chosen []*scenarios.Case
	index  map[string]int // by file and line

	mu      sync.Mutex // guards results, and calls of OnResult
	results []*harness.Result
}

func key(file string, line int) string { return fmt.Sprintf("%s:%d", file, line) }

// contents are the feature files that hold a chosen scenario. godog takes texts only, and so reads them once more.
func (r *runner) contents() []godog.Feature {
	var files []godog.Feature
	for _, c := range r.chosen {
		if n := len(files); n == 0 || files[n-1].Name != c.File {
			files = append(files, godog.Feature{Name: c.File, Contents: r.Library.FeatureText(c.File)})
		}
	}
	return files
}

// scenario registers the steps of one scenario. The scenario is run as a whole before its first step; a step then says
// what became of it.
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
			if step.Kind == scenarios.Then {
				outcomes[pickle.Steps[n].Id] = len(outcomes)
			}
		}
		result = r.run(ctx, New(r.chosen[i], r.Library, r.Settings))
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
	sc.Step(anyStep, tell) // which phrase it is has been found when the scenario was compiled
}

// anyStep fits every step.
var anyStep = regexp.MustCompile(`^.*$`)

// verdictError is nil for an outcome that held.
func verdictError(v outcome.Verdict) error {
	if v.State == outcome.Held {
		return nil
	}
	return fmt.Errorf("%v: %s", v.State, v.Why)
}

// run does the job of a scenario, before the eyes of whoever watches it.
func (r *runner) run(ctx context.Context, j *Job) *harness.Result {
	var watch []signal.Sink
	if script, problems := j.Script(); r.Watch != nil && len(problems) == 0 && ctx.Err() == nil {
		sink, err := r.Watch(script)
		if err != nil {
			return notMade(j, err)
		}
		watch = append(watch, sink)
	}
	return r.Runner.Run(ctx, j, watch...)
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
