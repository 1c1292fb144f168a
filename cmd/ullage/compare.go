package main

import (
	"github.com/spf13/cobra"

	"ullage/harness/evidence"
)

func compareCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Print two runs' margins side by side, what got worse first",
		Long: "Print the margins of two evidence folders side by side, what got worse first.\n" +
			"Exit status: 0 nothing got worse, 1 something did, 2 the evidence could not be read.",
		Example: "  ullage run --evidence before\n  ullage run --evidence after\n  ullage compare before after",
		Args:    expects("two folders of evidence, OLD and NEW", cobra.ExactArgs(2)),
		RunE: func(c *cobra.Command, args []string) error {
			old, err := evidence.Read(args[0])
			if err != nil {
				return err
			}
			new, err := evidence.Read(args[1])
			if err != nil {
				return err
			}
			width, _ := terminal(c.OutOrStdout())
			worse, err := evidence.Compare(c.OutOrStdout(), old, new, width, colours(c.OutOrStdout()))
			if err == nil && worse {
				err = &exitError{status: exitFailed}
			}
			return err
		},
	}
}
