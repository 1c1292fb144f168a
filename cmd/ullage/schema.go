package main

import (
	"github.com/spf13/cobra"

	"ullage/harness/sitefile"
)

func schemaCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of site files",
		Long:  "Print the JSON Schema of site files, for editors that complete and check YAML.",
		Args:  expects("none", cobra.NoArgs),
		RunE: func(c *cobra.Command, _ []string) error {
			schema, err := sitefile.Schema()
			if err != nil {
				return err
			}
			_, err = c.OutOrStdout().Write(schema)
			return err
		},
	}
}
