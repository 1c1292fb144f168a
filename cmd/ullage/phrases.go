package main

import (
	"io"

	"github.com/spf13/cobra"

	"ullage/scenarios"
)

func phrasesCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "phrases",
		Short: "Print every phrase that scenarios are written in",
		Long:  "Print every phrase that scenarios are written in, with its meaning and an example.",
		Args:  expects("none", cobra.NoArgs),
		RunE: func(c *cobra.Command, _ []string) error {
			_, err := io.WriteString(c.OutOrStdout(), scenarios.Listing())
			return err
		},
	}
}
