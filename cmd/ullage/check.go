package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"ullage/features"
	"ullage/harness/spelling"
	"ullage/scenarios"
)

func checkCommand() *cobra.Command {
	var selection scenarios.Selection
	c := &cobra.Command{
		Use:   "check [FEATURE[:LINE] | SITE | FOLDER]...",
		Short: "Read sites and features without running them",
		Long: "Read sites and features and report everything that is wrong with them, with file and line, without running\n" +
			"anything. Without paths the shipped ones are read.\n\nExit status: 0 nothing is wrong, 2 something is.",
		RunE: func(c *cobra.Command, paths []string) error {
			library, spots, err := scenarios.Load(features.Files, paths)
			if err != nil {
				return err
			}
			selection.Spots = spots
			chosen, problems, err := scenarios.Check(c.Context(), library, selection)
			if len(problems) > 0 {
				fmt.Fprintln(c.OutOrStdout(), problems.Error())
			}
			if err != nil {
				return err
			}
			if len(problems) > 0 {
				return &exitError{exitBroken, spelling.Count(len(problems), "error")}
			}
			fmt.Fprintf(c.OutOrStdout(), "no errors; scenarios: %d, sites: %d\n", len(chosen), len(library.Sites()))
			return nil
		},
	}
	selectFlags(c, &selection)
	return c
}
