package stand_test

import (
	"context"
	"fmt"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness/quantity"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// One scenario of the shipped suite, run and judged.
func ExampleBuilder() {
	library, err := scenarios.Open(features.Files)
	if err != nil {
		fmt.Println(err)
		return
	}
	results, err := runs.Suite(context.Background(), runs.Options{Library: library, Settings: runs.Settings{Seed: 1},
		Select: scenarios.Selection{Names: []string{"The high float has taken water"}},
		Runner: runs.On(stand.Builder(library.Site, stand.Simulated()))})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range results {
		for i, v := range r.Verdicts {
			fmt.Println(r.Script.Outcomes[i].Text, "-", v.State, "by", quantity.Format(v.Margin, v.Dim))
		}
	}
	// Output:
	// the valve "top-up" closes within 3 s of "tank-spill" operating - held by 1.4 s
	// no water reaches the overflow of "header-tank" - held by 28.71 mm
}
