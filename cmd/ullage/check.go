package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"ullage/features"
	"ullage/harness/console"
	"ullage/harness/evidence"
	"ullage/harness/spelling"
	"ullage/scenarios"
)

func checkCommand() *cobra.Command {
	var selection scenarios.Selection
	c := &cobra.Command{
		Use:   "check [FEATURE[:LINE] | SITE | FOLDER]...",
		Short: "Read sites and features without running them",
		Long: "Read sites and features and report everything that is wrong with them, with file and line, without running\n" +
			"anything, and warn of what is hardly meant. Without paths the shipped ones are read.\n\n" +
			"Exit status: 0 nothing is wrong, also when there are warnings; 2 something is.",
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
			sites := library.Checked(chosen)
			_, err = fmt.Fprintf(c.OutOrStdout(), "no errors; scenarios: %d, sites: %d\n%s%s", len(chosen), len(sites),
				warnings(library, sites)+reactions(library, sites), assumptions(library.Assumed(sites)))
			return err
		},
	}
	selectFlags(c, &selection)
	return c
}

// assumptions lists what site files do not say and what stands for it.
func assumptions(assumed map[string][]string) string {
	out := ""
	for _, a := range evidence.Assumptions(assumed) {
		out += strings.Join(console.Fold(a.Sites+": assumed (common practice, no source): "+a.Text, 118), "\n  ") + "\n"
	}
	return out
}

// warnings lists what of the sites is allowed and hardly meant.
func warnings(library *scenarios.Library, names []string) string {
	out := ""
	for _, name := range names {
		site, err := library.Site(name)
		if err != nil {
			continue // it is reported as a problem
		}
		for _, text := range site.Warnings() {
			out += strings.Join(console.Fold("warning: site "+name+": "+text, 118), "\n  ") + "\n"
		}
	}
	return out
}

// reactions lists how the controllers of sites react, as far as their files say.
func reactions(library *scenarios.Library, names []string) string {
	var texts []string
	sites := map[string][]string{}
	for _, name := range names {
		site, err := library.Site(name)
		if err != nil {
			continue // it is reported as a problem
		}
		text := site.Controller.Reacts.String()
		if sites[text] == nil {
			texts = append(texts, text)
		}
		sites[text] = append(sites[text], name)
	}
	out := ""
	for _, text := range texts {
		out += strings.Join(
			console.Fold(strings.Join(sites[text], ", ")+": controller reacts: "+text, 118),
			"\n  ",
		) + "\n"
	}
	if out != "" {
		out += "in brackets: defaults; a program that says how it reacts has precedence\n"
	}
	return out
}
