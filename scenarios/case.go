package scenarios

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"

	"ullage/harness"
)

// Case is a scenario of a library with the script that it compiled to. It is not changed, and safe for concurrent use.
type Case struct {
	Scenario          // its tags include those of the faults that it injects, unless it has problems
	Problems Problems // why it cannot be run; none: it can

	script *harness.Script // without a seed
}

// Script is the script of the scenario with the draws of a seed. Where there are problems it says which scenario it is
// of, and no more.
func (c *Case) Script(seed uint64) *harness.Script {
	s := *c.script
	s.Seed = c.Seed(seed)
	return &s
}

// compile makes the script. A panic is a problem of the scenario and ends nothing.
func (c *Case) compile(l *Library) {
	defer func() {
		if p := recover(); p != nil {
			c.script = c.Scenario.Script(0)
			c.Problems = Problems{{File: c.File, Line: c.Line, Scenario: c.Name,
				Expected: fmt.Sprintf("a defect of this program: %v\n%s", p, debug.Stack())}}
		}
	}()
	if len(c.Steps) == 0 { // the reader of the file has said so
		c.script = c.Scenario.Script(0)
		return
	}
	if c.script, c.Problems = Compile(c.Scenario, l.Site, 0); len(c.Problems) == 0 {
		c.Tags = c.script.Tags
	}
}

// Cases are the scenarios of every feature file, in their order, and what is wrong with the language that the files are
// written in. Each is read and compiled once, however often they are asked for.
func (l *Library) Cases() ([]*Case, Problems) {
	_ = l.Compile(context.Background())
	return l.cases, l.syntax
}

// Compile reads and compiles every feature file, if that has not been done, and stops when the context ends. The
// library is of no use after that.
func (l *Library) Compile(ctx context.Context) error {
	l.once.Do(func() {
		for _, f := range l.features {
			if ctx.Err() != nil {
				return
			}
			list, problems := ReadFeature(f.name, f.text)
			l.syntax = append(l.syntax, problems...)
			for _, sc := range list {
				l.cases = append(l.cases, &Case{Scenario: sc})
			}
		}
		var wait sync.WaitGroup
		var next atomic.Int64
		for range runtime.GOMAXPROCS(0) {
			wait.Go(func() {
				for i := next.Add(1) - 1; i < int64(len(l.cases)) && ctx.Err() == nil; i = next.Add(1) - 1 {
					l.cases[i].compile(l)
				}
			})
		}
		wait.Wait()
	})
	return ctx.Err()
}

// Select returns the cases that a selection chooses, in the order of the files. The error says what is wrong with the
// feature files or with the selection, or that it chooses nothing: there is nothing to run.
func (l *Library) Select(s Selection) ([]*Case, error) {
	all, syntax := l.Cases()
	if len(syntax) > 0 {
		return nil, syntax
	}
	return s.choose(all)
}

// tagsOf are the tags that any of the cases bears, sorted.
func tagsOf(cases []*Case) []string {
	var tags []string
	for _, c := range cases {
		tags = append(tags, c.Tags...)
	}
	slices.Sort(tags)
	return slices.Compact(tags)
}
