package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"
)

// choose lists the numbers of the mutants whose name matches.
func choose(mutants []mutant, only *regexp.Regexp) []int {
	var list []int
	for i, m := range mutants {
		if only.MatchString(m.String()) {
			list = append(list, i+1)
		}
	}
	return list
}

// hopeless is how long one mutant may take, by the wall clock, before its process is ended: a loop in which no mutant
// is passed.
const hopeless = 5 * time.Minute

// tryAll tries mutants in several processes, and calls onAnswer with how many are done. The answers come by number.
func tryAll(
	ctx context.Context,
	sources map[string]string,
	mutants []mutant,
	chosen []int,
	o options,
	onAnswer func(int),
) (map[int]answer, error) {
	folder, err := os.MkdirTemp("", "mutants")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	program, err := build(folder, sources)
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	next := make(chan int, len(chosen))
	for _, n := range chosen {
		next <- n
	}
	close(next)
	answers := map[int]answer{}
	var mu sync.Mutex // guards answers and broken
	var broken error
	var wait sync.WaitGroup
	for range max(1, o.jobs) {
		wait.Go(func() {
			t := &trier{program: program, count: len(mutants), scenario: o.scenario}
			defer t.end()
			for n := range next {
				a, err := t.ask(ctx, n, mutants[n-1].in)
				mu.Lock()
				if answers[n] = a; err != nil {
					broken = err
					cancel()
				}
				onAnswer(len(answers))
				mu.Unlock()
				if err != nil {
					return
				}
			}
		})
	}
	wait.Wait()
	return answers, broken
}

// trier is a process that tries mutants, begun anew after one that it does not survive.
type trier struct {
	program  string
	count    int
	scenario string

	process   *exec.Cmd
	questions io.WriteCloser
	answers   *bufio.Scanner
	errOut    *strings.Builder
}

// ask tries one mutant.
func (t *trier) ask(ctx context.Context, n int, function string) (answer, error) {
	if t.process == nil {
		if err := t.start(ctx); err != nil {
			return answer{}, err
		}
	}
	timer := time.AfterFunc(hopeless, func() { _ = t.process.Process.Kill() })
	fmt.Fprintln(t.questions, n, function)
	got := t.answers.Scan()
	switch late := !timer.Stop(); {
	case late:
		t.end()
		return answer{Mutant: n, Killed: "does not end", Felt: true}, nil
	case !got:
		err := t.process.Wait()
		return answer{}, fmt.Errorf("the process that tried mutant %d ended: %w\n%s", n, err, t.errOut)
	}
	var a answer
	err := json.Unmarshal(t.answers.Bytes(), &a)
	return a, err
}

func (t *trier) start(ctx context.Context) error {
	t.errOut = &strings.Builder{}
	t.process = exec.CommandContext(ctx, t.program, "try", strconv.Itoa(t.count), t.scenario)
	t.process.Env = append(os.Environ(), "GOMAXPROCS=1", "GOMEMLIMIT=1GiB")
	t.process.Stderr = t.errOut
	var err error
	if t.questions, err = t.process.StdinPipe(); err != nil {
		return err
	}
	out, err := t.process.StdoutPipe()
	if err != nil {
		return err
	}
	t.answers = bufio.NewScanner(out)
	return t.process.Start()
}

func (t *trier) end() {
	if t.process != nil {
		_ = t.questions.Close()
		_ = t.process.Wait()
		t.process = nil
	}
}
