package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ullage/fakes/controller"
	"ullage/features"
	"ullage/harness/spelling"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// challengeOptions are the flags of challenge.
type challengeOptions struct {
	runFlags
	selection scenarios.Selection
	only      []string
	whole     bool
}

func challengeCommand() *cobra.Command {
	var o challengeOptions
	c := &cobra.Command{
		Use:   "challenge [FEATURE[:LINE] | SITE | FOLDER]...",
		Short: "Run the suite on controllers with one seeded firmware defect each, and on sound variants",
		Long: "Run the suite on simulated controllers with one seeded firmware defect each: the suite must notice, by an outcome of the\n" +
			"defect's own hazard that fails while good days hold. And on sound variants: about those it must not complain. Then it\n" +
			"says which scenarios catch no defect, and why they are kept.\n\n" +
			"Exit status: 0 every defect was caught and no sound variant complained about; 1 otherwise; 2 it could not be made.",
		RunE: func(c *cobra.Command, paths []string) error {
			return o.run(c.Context(), paths, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	selectFlags(c, &o.selection)
	o.runFlags.add(c, "controllers", "")
	c.Flags().StringArrayVar(&o.only, "only", nil, "only this defect or variant; may be given again")
	c.Flags().
		BoolVar(&o.whole, "whole", false, "run every defect on all scenarios, not only on good days and those of its own hazards")
	return c
}

// simulated is a stand on which everything is simulated, with a controller.
func simulated(controller string) runs.Stand {
	return runs.Stand{Controller: controller, Site: "simulated", Network: "simulated", Clock: "virtual"}
}

// contenders are those that were asked for, or all.
func contenders(only []string) ([]runs.Contender, error) {
	var list []runs.Contender
	for _, d := range controller.Defects() {
		list = append(
			list,
			runs.Contender{Name: d.ID, What: d.Mistake, Hazards: d.Hazards, Stand: simulated(defectPrefix + d.ID)},
		)
	}
	for _, v := range controller.Variants() {
		list = append(list, runs.Contender{Name: v.ID, What: v.What, Stand: simulated(variantPrefix + v.ID)})
	}
	if len(only) == 0 {
		return list, nil
	}
	var known []string
	for _, c := range list {
		known = append(known, c.Name)
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
	return slices.DeleteFunc(list, func(c runs.Contender) bool { return !slices.Contains(only, c.Name) }), nil
}

func (o *challengeOptions) run(ctx context.Context, paths []string, out, errOut io.Writer) error {
	list, err := contenders(o.only)
	if err != nil {
		return err
	}
	library, spots, err := scenarios.Load(features.Files, paths)
	if err != nil {
		return err
	}
	o.selection.Spots = spots
	runner, closeRunner, err := o.runner()
	if err != nil {
		return err
	}
	defer closeRunner()
	runner, closeStore, err := o.keeping(runner, "challenge")
	if err != nil {
		return err
	}
	defer closeStore()
	bar := progress(errOut, len(list))
	answers, err := runs.Challenge(
		ctx,
		runs.Options{Library: library, Select: o.selection, Runner: runner, Concurrency: o.jobs,
			Settings: runs.Settings{Seed: o.seed, Timeout: o.timeout}},
		list,
		o.whole,
		func(runs.Answer) { _ = bar.Add(1) },
	)
	_ = bar.Finish()
	if err != nil {
		return err
	}
	text := runs.Matrix(answers)
	if len(o.only) == 0 { // of some defects it would mean nothing
		chosen, err := library.Select(o.selection)
		if err != nil {
			return err
		}
		text += runs.Worth(chosen, answers)
	}
	if _, err := io.WriteString(out, text); err != nil {
		return err
	}
	if slices.ContainsFunc(answers, func(a runs.Answer) bool { return !a.OK() }) {
		return &exitError{status: exitFailed}
	}
	return nil
}
