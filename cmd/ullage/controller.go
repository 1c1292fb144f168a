package main

import (
	"context"
	"fmt"
	"strings"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/link"
	"ullage/harness/sitefile"
)

// controllerMaker makes the controllers that --controller names.
func controllerMaker(name string) (stand.Maker, error) {
	if name == "simulated" {
		return stand.Simulated(), nil
	}
	command, ok := strings.CutPrefix(name, "exec:")
	if words := strings.Fields(command); ok && len(words) > 0 {
		return func(ctx context.Context, s *sitefile.Site, terminals []harness.Terminal) (harness.Controller, error) {
			return link.Exec(ctx, words, s.Controller, terminals, link.Options{})
		}, nil
	}
	return nil, fmt.Errorf("--controller %q: expected simulated, or exec: and a program with its arguments, e.g. exec:./controller", name)
}
