package main

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/clock"
	"ullage/harness/link"
)

// standFlags put a stand together: each names the maker of one part.
type standFlags struct{ controller, site, network, clock, proof string }

// The makers that the flags know by their names; a controller can also be a program.
var (
	siteMakers    = map[string]harness.Maker[harness.Site]{"simulated": stand.Site()}
	networkMakers = map[string]harness.Maker[harness.Network]{"simulated": stand.Network(), "none": stand.NoNetwork()}
	clockMakers   = map[string]harness.Maker[harness.Clock]{"virtual": {}, "wall": {
		Make: func(context.Context, *harness.Plan) (harness.Clock, error) { return &clock.Wall{}, nil },
	}}
)

// add declares the flags.
func (s *standFlags) add(f *pflag.FlagSet) {
	f.StringVar(&s.controller, "controller", "simulated", "what is tested: simulated, or exec:PROGRAM [ARGUMENT]...")
	f.StringVar(&s.site, "site", "simulated", "what is around the controller: simulated, by the site file of each scenario")
	f.StringVar(&s.network, "network", "simulated", "network of the controller: simulated, or none (no access point in range)")
	f.StringVar(&s.clock, "clock", "virtual", "pace of the run: virtual, or wall (a second takes a second)")
}

// addProof declares the flag of how runs are proven.
func (s *standFlags) addProof(f *pflag.FlagSet) {
	f.StringVar(&s.proof, "proof", "", "how it is shown that an outcome was exercised: closed-loop (the run again without each fault)\n"+
		"or open-loop (the recorded outputs played into the site again); default closed-loop where the stand can be run twice")
}

// proofOf is how runs of stands are proven.
func (s *standFlags) proofOf(stands *harness.Stands) (harness.Proof, error) {
	switch s.proof {
	case "":
		return stands.Proof(), nil
	case "open-loop":
		return harness.OpenLoop{Stands: stands}, nil
	case "closed-loop":
		if stands.Exclusive() {
			return nil, fmt.Errorf("--proof closed-loop: this stand exists only once and cannot be run again; expected open-loop")
		}
		return harness.ClosedLoop{}, nil
	}
	return nil, fmt.Errorf("--proof %q: expected closed-loop or open-loop", s.proof)
}

// options are the flags that are not at their defaults, as they are typed.
func (s *standFlags) options() []string {
	var list []string
	for _, o := range []struct{ flag, value, usual string }{{"--controller", s.controller, "simulated"},
		{"--site", s.site, "simulated"}, {"--network", s.network, "simulated"}, {"--clock", s.clock, "virtual"}, {"--proof", s.proof, ""}} {
		if o.value != o.usual {
			list = append(list, o.flag, o.value)
		}
	}
	return list
}

// makers are the makers that the flags name.
func (s *standFlags) makers() (m harness.Makers, err error) {
	if m.Site, err = named(siteMakers, "site", s.site); err != nil {
		return m, err
	}
	if m.Network, err = named(networkMakers, "network", s.network); err != nil {
		return m, err
	}
	if m.Clock, err = named(clockMakers, "clock", s.clock); err != nil {
		return m, err
	}
	m.Controller, err = controllerMaker(s.controller)
	return m, err
}

func named[P any](makers map[string]harness.Maker[P], flag, name string) (harness.Maker[P], error) {
	if m, ok := makers[name]; ok {
		return m, nil
	}
	return harness.Maker[P]{}, fmt.Errorf("--%s %q: expected %s", flag, name, strings.Join(slices.Sorted(maps.Keys(makers)), " or "))
}

// controllerMaker makes the controllers that --controller names.
func controllerMaker(name string) (harness.Maker[harness.Controller], error) {
	if name == "simulated" {
		return stand.Simulated(), nil
	}
	command, ok := strings.CutPrefix(name, "exec:")
	if words := strings.Fields(command); ok && len(words) > 0 {
		return harness.Maker[harness.Controller]{Make: func(ctx context.Context, p *harness.Plan) (harness.Controller, error) {
			return link.Exec(ctx, words, p.Site.Controller, p.Terminals, link.Options{})
		}}, nil
	}
	return harness.Maker[harness.Controller]{}, fmt.Errorf(
		"--controller %q: expected simulated, or exec: and a program with its arguments, e.g. exec:./controller", name)
}
