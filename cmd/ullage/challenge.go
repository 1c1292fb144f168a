package main

import (
	"context"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ullage/fakes/controller"
	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/scenarios"
)

func challengeCommand() *cobra.Command {
	var selection scenarios.Selection
	var only []string
	var seed uint64
	var jobs int
	var whole bool
	c := &cobra.Command{
		Use:   "challenge [FEATURE[:LINE] | SITE | FOLDER]...",
		Short: "Run the suite on controllers with one defect each, and on sound variants",
		Long: "Run the suite on simulated controllers that were built with one mistake of firmware each: the suite must notice, by\n" +
			"an outcome of the mistake's own hazard that fails while good days hold. And on sound variants: about those it must\n" +
			"not complain. Then it says which scenarios catch no defect, and why they are kept.\n\n" +
			"Exit status: 0 every defect was caught and no sound variant complained about; 1 otherwise; 2 it could not be made.",
		RunE: func(c *cobra.Command, paths []string) error {
			contenders, err := contenders(only)
			if err != nil {
				return err
			}
			return challenge(c.Context(), c.OutOrStdout(), c.ErrOrStderr(), paths, contenders, whole,
				scenarios.Options{Select: selection, Seed: seed, Concurrency: jobs})
		},
	}
	selectFlags(c, &selection)
	c.Flags().StringArrayVar(&only, "only", nil, "only this defect or variant; may be given again")
	c.Flags().BoolVar(&whole, "whole", false, "run every defect on all scenarios, not only on good days and those of its own hazards")
	c.Flags().Uint64Var(&seed, "seed", 1, "seed of everything that is drawn")
	numberVar(c.Flags(), &jobs, "jobs", runtime.NumCPU(), 1, "controllers at once")
	return c
}

// contenders are those that were asked for, or all.
func contenders(only []string) (func(*scenarios.Library) []scenarios.Contender, error) {
	var known []string
	for _, d := range controller.Defects() {
		known = append(known, d.ID)
	}
	for _, v := range controller.Variants() {
		known = append(known, v.ID)
	}
	for _, name := range only {
		if !slices.Contains(known, name) {
			message := fmt.Sprintf("--only %q: there is no such defect or variant", name)
			if near := spelling.Nearest(name, known); near != "" {
				message += fmt.Sprintf("; the nearest is %q", near)
			}
			return nil, fmt.Errorf("%s; they are %s", message, strings.Join(known, ", "))
		}
	}
	return func(l *scenarios.Library) []scenarios.Contender {
		var list []scenarios.Contender
		for _, d := range controller.Defects() {
			list = append(list, scenarios.Contender{Name: d.ID, What: d.Mistake, Hazards: d.Hazards,
				Build: stand.Builder(l.Site, stand.Simulated(controller.Seeded(d.ID)))})
		}
		for _, v := range controller.Variants() {
			list = append(list, scenarios.Contender{Name: v.ID, What: v.What,
				Build: stand.Builder(varied(l.Site, v), stand.Simulated(v.Options...))})
		}
		return slices.DeleteFunc(list, func(c scenarios.Contender) bool { return len(only) > 0 && !slices.Contains(only, c.Name) })
	}, nil
}

// varied finds sites as a variant of the controller is set up there.
func varied(sites harness.Sites, v controller.Variant) harness.Sites {
	return func(name string) (*sitefile.Site, error) {
		site, err := sites(name)
		if err != nil {
			return nil, err
		}
		return v.Of(site), nil
	}
}

// challenge runs it and prints what came of it.
func challenge(ctx context.Context, out, errOut io.Writer, paths []string, list func(*scenarios.Library) []scenarios.Contender,
	whole bool, o scenarios.Options) error {
	library, spots, err := scenarios.Load(features.Files, paths)
	if err != nil {
		return err
	}
	o.Library, o.Select.Spots = library, spots
	contenders := list(library)
	all := len(contenders) == len(controller.Defects())+len(controller.Variants()) // of some defects it would mean nothing
	bar := progress(errOut, len(contenders))
	answers, err := scenarios.Challenge(ctx, o, contenders, whole, func(scenarios.Answer) { _ = bar.Add(1) })
	_ = bar.Finish()
	if err != nil {
		return err
	}
	text := scenarios.Matrix(answers)
	if all {
		chosen, err := library.Select(o.Select)
		if err != nil {
			return err
		}
		text += scenarios.Worth(chosen, answers)
	}
	if _, err := io.WriteString(out, text); err != nil {
		return err
	}
	if slices.ContainsFunc(answers, func(a scenarios.Answer) bool { return !a.OK() }) {
		return &exitError{status: exitFailed}
	}
	return nil
}
