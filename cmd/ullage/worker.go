package main

import (
	"os"
	"os/signal"

	"github.com/spf13/cobra"

	"ullage/scenarios/runs"
)

func workerCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "worker",
		Short: "Do runs that are described on standard input",
		Long: "Read descriptions of runs from standard input, one JSON object a line, and write a line of JSON with the result of each to\n" +
			"standard output, until the input ends. --isolate of run, sweep and challenge starts such processes. go doc\n" +
			"./scenarios/runs Description says what each key means.",
		Args: expects("none", cobra.NoArgs),
		RunE: func(c *cobra.Command, _ []string) error {
			signal.Ignore(os.Interrupt) // of the terminal: who has started this process ends it
			return runs.Serve(c.Context(), runs.Local(stands), c.InOrStdin(), c.OutOrStdout())
		},
	}
}
