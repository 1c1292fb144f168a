// Command mutants asks whether the shipped suite notices when the control code of the simulated controller is changed
// mechanically: a comparison with its boundary moved or turned round, an arithmetic sign, a connective, a negation, a
// number made 0 or 1, a statement left out, a function that returns at once. It prints the kill rate and every
// survivor, and is no part of ullage.
//
// All mutants are in one build: package controller is woven anew with each change behind a number, and put in the place
// of its source while this program builds itself again. A mutant is killed when a scenario that holds without it does
// not hold any more, breaks, or does not end. Only those scenarios are run in which the changed expression would have
// had another value at least once.
//
// Left out are the putting together of a controller from its settings, whose mistakes the site file refuses, and the
// seeded defects: ullage challenge is about those.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"regexp"
	"runtime"
	"strconv"
)

func main() {
	only := flag.String("only", "", "only mutants whose name this regular expression matches")
	scenario := flag.String(
		"scenario",
		".",
		"only scenarios whose title this regular expression matches, when one is written against a survivor",
	)
	jobs := flag.Int("jobs", runtime.NumCPU(), "mutants at once")
	list := flag.Bool("list", false, "print the mutants and try none")
	kills := flag.Bool("kills", false, "print what killed each mutant as well")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, options{*only, *scenario, *jobs, *list, *kills}); err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
}

// options are the flags of the command.
type options struct {
	only, scenario string
	jobs           int
	list, kills    bool
}

func run(ctx context.Context, o options) error {
	if flag.Arg(0) == "try" {
		count, err := strconv.Atoi(flag.Arg(1))
		if err != nil {
			return err
		}
		titles, err := regexp.Compile(flag.Arg(2))
		if err != nil {
			return err
		}
		return try(ctx, count, titles, os.Stdin, os.Stdout)
	}
	sources, mutants, err := wovenSources()
	if err != nil {
		return err
	}
	pattern, err := regexp.Compile(o.only)
	if err != nil {
		return err
	}
	chosen := choose(mutants, pattern)
	if o.list {
		for _, n := range chosen {
			fmt.Println(mutants[n-1].place())
		}
		return nil
	}
	explained, err := explanations(mutants)
	if err != nil {
		return err
	}
	answers, err := tryAll(
		ctx,
		sources,
		mutants,
		chosen,
		o,
		func(done int) { fmt.Fprintf(os.Stderr, "\r%d of %d ", done, len(chosen)) },
	)
	fmt.Fprintln(os.Stderr)
	if err != nil {
		return err
	}
	return report(os.Stdout, mutants, answers, explained, o.kills)
}
