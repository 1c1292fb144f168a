package main

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"ullage/fakes/controller"
	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/clock"
	"ullage/harness/link"
	"ullage/harness/sitefile"
	"ullage/scenarios/runs"
)

// standFlags put a stand together: each names the maker of one part.
type standFlags struct {
	runs.Stand
	proof string
}

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
	f.StringVar(&s.Controller, "controller", "simulated", "what is tested: simulated, or exec:PROGRAM [ARGUMENT]...")
	f.StringVar(
		&s.Site,
		"site",
		"simulated",
		"what is around the controller: simulated, by the site file of each scenario",
	)
	f.StringVar(
		&s.Network,
		"network",
		"simulated",
		"network of the controller: simulated, or none (no access point in range)",
	)
	f.StringVar(&s.Clock, "clock", "virtual", "pace of the run: virtual, or wall (a second takes a second)")
}

// addProof declares the flag of how runs are proven.
func (s *standFlags) addProof(f *pflag.FlagSet) {
	f.StringVar(
		&s.proof,
		"proof",
		"",
		"how it is shown that an outcome was exercised: closed-loop (the run again without each fault)\n"+
			"or open-loop (the recorded outputs played into the site again); default closed-loop where the stand can be run twice",
	)
}

// options are the flags that are not at their defaults, as they are typed.
func (s *standFlags) options() []string {
	var list []string
	for _, o := range []struct{ flag, value, usual string }{{"--controller", s.Controller, "simulated"},
		{"--site", s.Site, "simulated"}, {"--network", s.Network, "simulated"}, {"--clock", s.Clock, "virtual"}, {"--proof", s.proof, ""}} {
		if o.value != o.usual {
			list = append(list, o.flag, o.value)
		}
	}
	return list
}

// settings are what the flags say of a run. Where such a stand can exist only once, runs are done one after the other.
// The error says what is wrong with a flag.
func (s *standFlags) settings(r *runFlags) (runs.Settings, error) {
	settings := runs.Settings{Stand: s.Stand, Seed: r.seed, Proof: runs.Proof(s.proof), Timeout: r.timeout}
	m, err := makers(s.Stand)
	if err != nil {
		return settings, err
	}
	if m.Exclusive() {
		r.jobs = 1
	}
	switch {
	case s.proof == "" && m.Exclusive():
		settings.Proof = runs.OpenLoop
	case s.proof == "":
		settings.Proof = runs.ClosedLoop
	case settings.Proof == runs.ClosedLoop && m.Exclusive():
		return settings, fmt.Errorf(
			"--proof closed-loop: this stand exists only once and cannot be run again; expected open-loop",
		)
	case settings.Proof != runs.ClosedLoop && settings.Proof != runs.OpenLoop:
		return settings, fmt.Errorf("--proof %q: expected closed-loop or open-loop", s.proof)
	}
	settings.Stand.Identity, err = identify(s.Controller)
	return settings, err
}

// identify tells a program that is tested from every other by the content of its files. A simulated controller is part
// of the models.
func identify(controller string) (string, error) {
	used, err := controllerUsed(controller)
	var sums []string
	for _, f := range used.Files {
		sums = append(sums, f.SHA256)
	}
	return strings.Join(sums, " "), err
}

// stands makes the stands that settings name, on their sites, and the proof.
func stands(s runs.Settings, sites harness.Sites) (harness.Builder, harness.Proof, error) {
	m, err := makers(s.Stand)
	if err != nil {
		return nil, nil, err
	}
	if v, is := variant(s.Stand.Controller); is {
		shipped := sites
		sites = func(name string) (*sitefile.Site, error) {
			site, err := shipped(name)
			if err != nil {
				return nil, err
			}
			return v.Of(site), nil
		}
	}
	on := m.On(sites)
	if s.Proof == runs.OpenLoop {
		return on.Build, harness.OpenLoop{Stands: on}, nil
	}
	return on.Build, harness.ClosedLoop{}, nil
}

// makers are the makers of the parts that a stand names.
func makers(s runs.Stand) (m harness.Makers, err error) {
	if m.Site, err = named(siteMakers, "site", s.Site); err != nil {
		return m, err
	}
	if m.Network, err = named(networkMakers, "network", s.Network); err != nil {
		return m, err
	}
	if m.Clock, err = named(clockMakers, "clock", s.Clock); err != nil {
		return m, err
	}
	m.Controller, err = controllerMaker(s.Controller)
	return m, err
}

func named[P any](makers map[string]harness.Maker[P], flag, name string) (harness.Maker[P], error) {
	if m, ok := makers[name]; ok {
		return m, nil
	}
	return harness.Maker[P]{}, fmt.Errorf(
		"--%s %q: expected %s",
		flag,
		name,
		strings.Join(slices.Sorted(maps.Keys(makers)), " or "),
	)
}

// controllerMaker makes the controllers that --controller names.
func controllerMaker(name string) (harness.Maker[harness.Controller], error) {
	if name == "simulated" {
		return stand.Simulated(), nil
	}
	if id, is := strings.CutPrefix(name, defectPrefix); is {
		return stand.Simulated(controller.Seeded(id)), nil
	}
	if v, is := variant(name); is {
		return stand.Simulated(v.Options...), nil
	}
	command, ok := strings.CutPrefix(name, "exec:")
	if words := strings.Fields(command); ok && len(words) > 0 {
		return harness.Maker[harness.Controller]{
			Make: func(ctx context.Context, p *harness.Plan) (harness.Controller, error) {
				return link.Exec(ctx, words, p.Site.Controller, p.Terminals, link.Options{})
			},
		}, nil
	}
	return harness.Maker[harness.Controller]{}, fmt.Errorf(
		"--controller %q: expected simulated, or exec: and a program with its arguments, e.g. exec:./controller", name)
}

// The simulated controllers of a challenge begin so.
const (
	defectPrefix  = "defect:"
	variantPrefix = "variant:"
)

// variant is the sound variant that the name of a controller means, if it means one.
func variant(name string) (controller.Variant, bool) {
	id, _ := strings.CutPrefix(name, variantPrefix)
	for _, v := range controller.Variants() {
		if name == variantPrefix+id && v.ID == id {
			return v, true
		}
	}
	return controller.Variant{}, false
}
