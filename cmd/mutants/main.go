// Command mutants asks whether the shipped suite notices when the control code of the simulated controller is changed
// mechanically: a comparison with its boundary moved or turned round, an arithmetic sign, a connective, a negation, a
// number made 0 or 1, a statement left out, a function that returns at once. It prints the kill rate and every survivor,
// and is no part of ullage.
//
// All mutants are in one build: package controller is woven anew with each change behind a number, and put in the place of
// its source while this program builds itself again. A mutant is killed when a scenario that holds without it does not
// hold any more, breaks, or does not end. Only those scenarios are run in which the changed expression would have had another
// value at least once.
//
// Left out are the putting together of a controller from its settings, whose mistakes the site file refuses, and whatever
// only a seeded defect reaches: ullage challenge is about those.
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
	jobs := flag.Int("jobs", runtime.NumCPU(), "mutants at once")
	list := flag.Bool("list", false, "print the mutants and try none")
	kills := flag.Bool("kills", false, "print what killed each mutant as well")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, *only, *jobs, *list, *kills); err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, only string, jobs int, list, kills bool) error {
	if flag.Arg(0) == "try" {
		count, err := strconv.Atoi(flag.Arg(1))
		if err != nil {
			return err
		}
		return try(ctx, count, os.Stdin, os.Stdout)
	}
	sources, mutants, err := wovenSources()
	if err != nil {
		return err
	}
	pattern, err := regexp.Compile(only)
	if err != nil {
		return err
	}
	chosen := choose(mutants, pattern)
	if list {
		for _, n := range chosen {
			fmt.Println(mutants[n-1])
		}
		return nil
	}
	explained, err := explanations(mutants)
	if err != nil {
		return err
	}
	answers, err := tryAll(ctx, sources, mutants, chosen, jobs, func(done int) { fmt.Fprintf(os.Stderr, "\r%d of %d ", done, len(chosen)) })
	fmt.Fprintln(os.Stderr)
	if err != nil {
		return err
	}
	return report(os.Stdout, mutants, answers, explained, kills)
}
