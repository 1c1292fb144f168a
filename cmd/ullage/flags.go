package main

import (
	"fmt"
	"os"
	"runtime"
	"time"

	"github.com/spf13/cobra"

	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// runFlags say how runs are done; run, sweep and challenge share them.
type runFlags struct {
	seed    uint64
	jobs    int
	timeout time.Duration
	isolate bool
	results string
}

// add adds the flags to a command which does so many of these things at once, and keeps results in a folder unless that
// is "".
func (r *runFlags) add(c *cobra.Command, things, results string) {
	r.timeout = runs.DefaultTimeout
	r.seed = 1
	c.Flags().Var(seed{&r.seed}, "seed", "random seed")
	numberVar(c.Flags(), &r.jobs, "jobs", runtime.NumCPU(), 1, things+" at once")
	c.Flags().Var(wait{&r.timeout}, "timeout", "wall-clock time for one scenario")
	c.Flags().
		BoolVar(&r.isolate, "isolate", false, "run each scenario in a child process: one that hangs or crashes is ended and reported")
	kept := "folder in which results are kept; what is there already is not run again"
	if c.Flags().Lookup("controller") != nil { // only then a program may be tested
		kept += "; " + hashed
	}
	c.Flags().StringVar(&r.results, "results", results, kept)
}

// hashed says what a kept result is known by.
const hashed = "with exec: name the program itself, or a file of it as an argument; of one that only a script starts " +
	"no change is seen"

// runner is who does the runs, and what is to be called when they are done.
func (r *runFlags) runner() (runs.Runner, func(), error) {
	if !r.isolate {
		return runs.Local(stands), func() {}, nil
	}
	self, err := os.Executable()
	if err != nil {
		return nil, nil, fmt.Errorf("--isolate: %w", err)
	}
	workers := runs.NewWorkers(self, "worker")
	return workers, workers.Close, nil
}

// keeping is a runner that keeps its results in the folder of --results, under a name, if there is one.
func (r *runFlags) keeping(runner runs.Runner, name string) (runs.Runner, func(), error) {
	if r.results == "" {
		return runner, func() {}, nil
	}
	store, err := openStore(r.results, name)
	if err != nil {
		return nil, nil, err
	}
	return runs.Kept{Store: store, Runner: runner}, func() { _ = store.Close() }, nil
}

// openStore opens a store of results of these models.
func openStore(folder, name string) (*runs.File, error) {
	return runs.OpenFile(folder, fmt.Sprintf("%s.models-%d", name, runs.Models()))
}

// selectFlags adds the flags that choose scenarios.
func selectFlags(c *cobra.Command, s *scenarios.Selection) {
	c.Flags().Var(tags{&s.Tags}, "tags", "only scenarios whose tags satisfy this expression: @a and not (@b or @c)")
	c.Flags().StringArrayVar(&s.Names, "name", nil, "only scenarios whose name contains this; may be given again")
}
