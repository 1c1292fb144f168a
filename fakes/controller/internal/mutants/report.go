package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/goccy/go-yaml"
)

// survivors.yaml holds the survivors that have been looked at, with the reason why the suite cannot or need not kill
// them.
//
//go:embed survivors.yaml
var survivorsText []byte

// explanation is why some mutants survive.
type explanation struct {
	Reason  string   `yaml:"reason"`
	Mutants []string `yaml:"mutants"`
}

// explanations are the reasons by mutant. One for a mutant that does not exist, or two for one, are mistakes.
func explanations(mutants []mutant) (map[string]string, error) {
	var list []explanation
	if err := yaml.UnmarshalWithOptions(survivorsText, &list, yaml.Strict()); err != nil {
		return nil, fmt.Errorf("survivors.yaml: %w", err)
	}
	known := map[string]bool{}
	for _, m := range mutants {
		known[m.String()] = true
	}
	reasons := map[string]string{}
	var errs []error
	for _, e := range list {
		for _, name := range e.Mutants {
			switch {
			case e.Reason == "":
				errs = append(errs, fmt.Errorf("survivors.yaml: %q has no reason", name))
			case !known[name]:
				errs = append(
					errs,
					fmt.Errorf(
						"survivors.yaml: there is no mutant %q; go run ./fakes/controller/internal/mutants -list names them",
						name,
					),
				)
			case reasons[name] != "":
				errs = append(errs, fmt.Errorf("survivors.yaml: two reasons for %q", name))
			}
			reasons[name] = e.Reason
		}
	}
	return reasons, errors.Join(errs...)
}

// report prints the kill rate and the survivors by file. The error says that a survivor has no explanation, or that
// something is explained that was killed.
func report(w io.Writer, mutants []mutant, answers map[int]answer, explained map[string]string, kills bool) error {
	var killed, wordless []string
	ways, reasons := map[string]int{}, map[string]int{}
	all := 0
	for i, m := range mutants {
		a, tried := answers[i+1]
		if !tried {
			continue
		}
		all++
		place := m.place()
		reason := explained[m.String()]
		switch {
		case a.Killed != "":
			way, _, _ := strings.Cut(a.Killed, ":")
			ways[way]++
			if kills {
				fmt.Fprintf(w, "killed    %s\n          by %s: %s\n", place, a.By, a.Killed)
			}
			if reason != "" {
				killed = append(killed, m.String())
			}
			continue
		case !a.Felt:
			fmt.Fprintf(w, "survives  %s\n          in no scenario does it make a difference\n", place)
		case a.Differs == "":
			fmt.Fprintf(w, "survives  %s\n          every trace is the same\n", place)
		default:
			fmt.Fprintf(w, "survives  %s\n          another trace, e.g. of %s\n", place, a.Differs)
		}
		if reason == "" {
			wordless = append(wordless, m.String())
			fmt.Fprintln(w, "          without explanation")
		} else {
			reasons[reason]++
			fmt.Fprintf(w, "          %s\n", reason)
		}
	}
	dead := 0
	for _, n := range ways {
		dead += n
	}
	fmt.Fprintf(w, "\n%d mutants, %d killed: %.1f %%\n", all, dead, 100*float64(dead)/float64(max(1, all)))
	for _, way := range sortedKeys(ways) {
		fmt.Fprintf(w, "  %4d  %s\n", ways[way], way)
	}
	fmt.Fprintf(w, "%d survive, %d of them without explanation\n", all-dead, len(wordless))
	for _, reason := range sortedKeys(reasons) {
		fmt.Fprintf(w, "  %4d  %s\n", reasons[reason], reason)
	}
	var errs []error
	if len(wordless) > 0 {
		errs = append(
			errs,
			fmt.Errorf(
				"%d survivors have no explanation in survivors.yaml; a scenario that kills them is better",
				len(wordless),
			),
		)
	}
	for _, name := range killed {
		errs = append(errs, fmt.Errorf("survivors.yaml explains %q, which is killed", name))
	}
	return errors.Join(errs...)
}

func sortedKeys(m map[string]int) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b string) int { return m[b] - m[a] })
	return keys
}
