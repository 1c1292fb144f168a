package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"ullage/harness/evidence"
)

func reportCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "report EVIDENCE",
		Short: "Make the report of a run from its log, also of one that was killed",
		Long: "Make the files of an evidence folder from its log: report.html, trace.csv, run.json, junit.xml, and the worksheet. A run\n" +
			"does so when it ends; this command is for one that was killed, as far as it had come, and its files say that they\n" +
			"are incomplete.\n" +
			"Exit status: 0 the files were made, 2 they could not be, or the run is still under way.",
		Example: "  ullage report evidence",
		Args:    expects("a folder of evidence", cobra.ExactArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			s, err := evidence.Export(args[0])
			if err != nil {
				return err
			}
			which := "complete"
			if !s.Complete {
				which = "incomplete: the run was broken off"
			}
			_, err = fmt.Fprintf(
				c.OutOrStdout(),
				"%s: %s. %s.\nOpen %s\n",
				filepath.Clean(args[0]),
				which,
				s.Totals,
				filepath.Join(args[0], evidence.ReportFile),
			)
			return err
		},
	}
}
