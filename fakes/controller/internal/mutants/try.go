package main

import (
	"bufio"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios"
)

// begin and left are set in the woven program: see hook.
var (
	begin func(mutant int, points int64, felt []bool)
	left  func() int64
)

// answer is what became of one mutant.
type answer struct {
	Mutant  int
	Killed  string // the outcome that is lost, or how the run broke; "" for a survivor
	By      string // the scenario
	Felt    bool   // it makes a difference at a point of a scenario
	Differs string // of a survivor: the first scenario whose trace is another one
}

// tried is a scenario and what it is like without a mutant.
type tried struct {
	script *harness.Script
	name   string
	points int64  // passed
	felt   []bool // by mutant: it would have made a difference at a point
	trace  uint64 // a hash of everything that was recorded
	took   time.Duration
	kills  map[string]int // by function
}

// unlimited is for runs without a mutant, which come to an end.
const unlimited = 1 << 60

// patient is how many times the points of the run without a mutant one with a mutant may pass.
const patient = 30

// try reads numbers of mutants and writes what became of each. It first runs the suite without any.
func try(ctx context.Context, count int, titles *regexp.Regexp, in io.Reader, out io.Writer) error {
	if begin == nil {
		return errors.New("this program was built without mutants")
	}
	library, _, err := scenarios.Load(features.Files, nil)
	if err != nil {
		return err
	}
	list, err := library.Select(scenarios.Selection{})
	if err != nil {
		return err
	}
	build := stand.Builder(library.Site, stand.Simulated())
	var suite []*tried
	for _, sc := range list {
		if !titles.MatchString(sc.Name) {
			continue
		}
		if len(sc.Problems) > 0 {
			return sc.Problems
		}
		s := &tried{
			script: sc.Script(1),
			name:   fmt.Sprintf("%s:%d", sc.File, sc.Line),
			felt:   make([]bool, count+1),
			kills:  map[string]int{},
		}
		begin(0, unlimited, s.felt)
		began := time.Now()
		killed, trace := s.run(ctx, build)
		if killed != "" {
			return fmt.Errorf("%s does not hold without any mutant: %s", s.name, killed)
		}
		s.points, s.trace, s.took = unlimited-left(), trace, time.Since(began)
		suite = append(suite, s)
	}
	answers := json.NewEncoder(out)
	for lines := bufio.NewScanner(in); lines.Scan(); {
		var n int
		var function string
		if _, err := fmt.Sscan(lines.Text(), &n, &function); err != nil {
			return err
		}
		if err := answers.Encode(tryOne(ctx, build, suite, n, function)); err != nil {
			return err
		}
	}
	return nil
}

// tryOne runs the scenarios that come past a mutant until one does not hold: first those that killed a mutant of the
// same function, then the quick ones.
func tryOne(ctx context.Context, build harness.Builder, suite []*tried, n int, function string) answer {
	a := answer{Mutant: n}
	slices.SortStableFunc(suite, func(x, y *tried) int {
		return cmp.Or(cmp.Compare(y.kills[function], x.kills[function]), cmp.Compare(x.took, y.took))
	})
	for _, s := range suite {
		if !s.felt[n] {
			continue
		}
		a.Felt = true
		begin(n, patient*s.points+2_000_000, nil)
		killed, trace := s.run(ctx, build)
		if killed != "" {
			s.kills[function]++
			a.Killed, a.By, a.Differs = killed, s.name, ""
			return a
		}
		if trace != s.trace && a.Differs == "" {
			a.Differs = s.name
		}
	}
	return a
}

// run says what did not hold, and what was recorded.
func (s *tried) run(ctx context.Context, build harness.Builder) (killed string, trace uint64) {
	defer func() {
		if p := recover(); p != nil {
			killed = fmt.Sprintf("panic: %v", p)
			if left() < 0 {
				killed = "endless: it passes more than " + fmt.Sprint(patient) + " times the points"
			}
		}
	}()
	run, err := harness.RunOnce(ctx, build, s.script)
	if err != nil {
		return "error: " + firstLine(err.Error()), 0
	}
	for i, v := range run.Verdicts {
		if v.State != outcome.Held {
			return fmt.Sprintf("%v: %s", v.State, s.script.Outcomes[i].Text), 0
		}
	}
	return "", hash(run.Trace)
}

// hash mixes everything that was recorded into one number, by the rule of Fowler, Noll and Vo.
func hash(t *signal.Trace) uint64 {
	h := uint64(14695981039346656037)
	for i := range t.Signals() {
		for at, value := range t.View(signal.ID(i)).All() {
			h = (h ^ uint64(at)) * 1099511628211
			h = (h ^ math.Float64bits(value)) * 1099511628211
		}
	}
	return h
}

func firstLine(text string) string {
	line, _, _ := strings.Cut(text, "\n")
	return line
}
