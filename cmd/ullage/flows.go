package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"ullage/cmd/ullage/internal/flows"
	"ullage/features"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/scenarios"
)

func flowsCommand() *cobra.Command {
	var units string
	var asJSON bool
	c := &cobra.Command{
		Use:   "flows SITE",
		Short: "Print flows, pressures, fill times and overflow of a site",
		Long: "Print what an installer wants to know of a site, which is a site file or the name of a shipped one: for each zone\n" +
			"the pressure and flow at each part in the weakest hour of the supply, what each outlet loses in pairs of zones and in\n" +
			"the worst greater set, pressures at rest, velocities, the duty of pumps beside their curves, fill times, litres a run\n" +
			"and a week, minutes for 10 mm, uniformity, and whether each overflow carries the full inflow.\n\n" +
			"--json prints the same with the unit of each figure in its key; it is always metric. go doc ./cmd/ullage/internal/flows Report\n" +
			"says what each key means.\n\n" +
			"Exit status: 0 the flows were computed, also when there are warnings; 2 they could not be.",
		Example: "  ullage flows tern-lane\n  ullage flows my-site.yaml --units us\n  ullage flows my-site.yaml --json",
		Args:    expects("a site file or the name of a shipped site", cobra.ExactArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			system, err := unitSystem(units)
			if err == nil && asJSON && system != quantity.Metric {
				err = errors.New("--json is always metric, with the units in its keys; leave out --units")
			}
			if err != nil {
				return err
			}
			return printFlows(c.Context(), c.OutOrStdout(), c.ErrOrStderr(), args[0], system, asJSON)
		},
	}
	c.Flags().StringVar(&units, "units", "metric", "units of the tables: metric or us")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

func unitSystem(name string) (quantity.System, error) {
	switch name {
	case "metric":
		return quantity.Metric, nil
	case "us":
		return quantity.US, nil
	}
	return quantity.Metric, fmt.Errorf("--units %q: expected metric or us", name)
}

func printFlows(ctx context.Context, out, errOut io.Writer, name string, system quantity.System, asJSON bool) error {
	site, err := scenarios.LoadSite(features.Files, name)
	var mistakes *sitefile.Mistakes
	if errors.As(err, &mistakes) {
		fmt.Fprintln(errOut, mistakes.Error())
		return &exitError{exitBroken, spelling.Count(len(*mistakes), "error")}
	}
	if err != nil {
		return err
	}
	report, err := flows.Of(ctx, site)
	if err != nil {
		return err
	}
	if asJSON {
		encoder := json.NewEncoder(out)
		encoder.SetIndent("", "  ")
		encoder.SetEscapeHTML(false)
		return encoder.Encode(report)
	}
	width, _ := terminal(out)
	return flows.Print(out, report, system, width, colours(out))
}
