package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"ullage/harness/fault"
	"ullage/harness/spelling"
	"ullage/scenarios"
)

func faultsCommand() *cobra.Command {
	var by, complaint string
	var asJSON bool
	c := &cobra.Command{
		Use:   "faults [ID]",
		Short: "Print the catalogue of faults, one fault in detail, or what a complaint may come from",
		Long: "Print the catalogue of faults, by the device that they apply to or by the hazard that they lead to; one fault in\n" +
			"detail, with the sources of its figures; or, for what a customer has seen, the causes with their distinguishing checks.",
		Args: expects("at most one ID of a fault", cobra.MaximumNArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			if c.Flags().Changed("symptom") && strings.TrimSpace(complaint) == "" {
				return errors.New(
					"--symptom is blank; expected what was seen, e.g. --symptom \"tank overflowed overnight\"",
				)
			}
			text, entries, err := faults(args, by, complaint)
			if err != nil {
				return err
			}
			if asJSON {
				encoder := json.NewEncoder(c.OutOrStdout())
				encoder.SetIndent("", "  ")
				encoder.SetEscapeHTML(false)
				return encoder.Encode(withExamples(entries))
			}
			_, err = io.WriteString(c.OutOrStdout(), text)
			return err
		},
	}
	c.Flags().StringVar(&by, "by", "target", "order of the list: target or hazard")
	c.Flags().StringVar(&complaint, "symptom", "", "what was seen, in a customer's words")
	c.Flags().BoolVar(&asJSON, "json", false, "print the entries as JSON, figures in SI units")
	return c
}

// withExamples are entries, each with the caution of its check and a step of a scenario that injects it.
func withExamples(entries []fault.Entry) []any {
	var list []any
	for _, e := range entries {
		list = append(list, struct {
			fault.Entry
			Caution string `json:"caution"`
			Example string `json:"example"`
		}{e, e.Caution(), e.Example(e.Phrases[0], scenarios.ShippedSites())})
	}
	return list
}

// faults is what was asked for, as text and as entries.
func faults(args []string, by, complaint string) (string, []fault.Entry, error) {
	switch {
	case len(args) == 1 && complaint != "":
		return "", nil, errors.New("give an ID or --symptom, not both")
	case len(args) == 1:
		e, ok := fault.Find(args[0])
		if !ok {
			return "", nil, unknownFault(args[0])
		}
		return e.Describe(scenarios.ShippedSites()), []fault.Entry{e}, nil
	case complaint != "":
		return causes(complaint)
	case by == "target":
		return fault.ByTarget(), fault.Catalogue(), nil
	case by == "hazard":
		return fault.ByHazard(), fault.Catalogue(), nil
	}
	return "", nil, fmt.Errorf("--by %q: expected target or hazard", by)
}

func causes(complaint string) (string, []fault.Entry, error) {
	found := fault.Search(complaint)
	if len(found) == 0 {
		return "", nil, fmt.Errorf(
			"nothing fits: no fault of the catalogue has a symptom like %q; say what was seen in other words, or "+
				"look through ullage faults --by hazard",
			complaint,
		)
	}
	var entries []fault.Entry
	for _, c := range found {
		entries = append(entries, c.Entry)
	}
	return fault.Listed(found), entries, nil
}

func unknownFault(id string) error {
	var ids []string
	for _, e := range fault.Catalogue() {
		ids = append(ids, e.ID)
	}
	if near := spelling.Nearest(strings.ToLower(id), ids); near != "" {
		return fmt.Errorf("there is no fault %q in the catalogue; the nearest is %q", id, near)
	}
	return fmt.Errorf("there is no fault %q in the catalogue; ullage faults lists them", id)
}
