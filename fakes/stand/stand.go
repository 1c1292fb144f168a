// Package stand puts simulated stands together: the site of a site file, its network, and a controller of any kind.
package stand

import (
	"context"
	"fmt"

	"ullage/fakes/controller"
	"ullage/fakes/site"
	"ullage/fakes/wifi"
	"ullage/harness"
	"ullage/harness/sitefile"
)

// Sites finds a site by the name that scripts use. The site returned is not changed.
type Sites func(name string) (*sitefile.Site, error)

// Maker makes the controller of a stand, for a site whose settings are those of the script.
type Maker func(context.Context, *sitefile.Site, []harness.Terminal) (harness.Controller, error)

// Simulated makes simulated controllers.
func Simulated(options ...controller.Option) Maker {
	return func(_ context.Context, s *sitefile.Site, terminals []harness.Terminal) (harness.Controller, error) {
		c, err := controller.New(s.Controller, terminals, options...)
		if err != nil {
			return nil, err
		}
		return controller.OnOscillator(c), nil
	}
}

// Builder puts together a simulated site and network with a controller. It may be used by several runs at once.
func Builder(sites Sites, make Maker) harness.Builder {
	return func(ctx context.Context, script *harness.Script) (*harness.Stand, error) {
		original, err := sites(script.Site)
		if err != nil {
			return nil, err
		}
		spec := original.Copy()
		for _, setting := range script.Start {
			if err := setting.Apply(spec); err != nil {
				return nil, fmt.Errorf("starting state: %w", err)
			}
		}
		if script.Corner != nil {
			spec = sitefile.AtCorner(spec, script.Corner.Signs...)
		}
		spec.FillDefaults()
		if script.Corner != nil { // what is right as drawn is right at its corners: rules look at the whole of a tolerance
			return assemble(ctx, spec, make)
		}
		if err := spec.Check(); err != nil {
			return nil, fmt.Errorf("with the starting state of the scenario: %w", err)
		}
		return assemble(ctx, spec, make)
	}
}

func assemble(ctx context.Context, spec *sitefile.Site, make Maker) (*harness.Stand, error) {
	water, err := site.New(spec)
	if err != nil {
		return nil, err
	}
	terminals := harness.Terminals(spec)
	device, err := make(ctx, spec, terminals)
	if err != nil {
		return nil, err
	}
	return &harness.Stand{Site: water, Network: wifi.New(spec.WiFi, zones(spec)), Controller: device, Terminals: terminals,
		Input: func(terminal int) harness.Input {
			return harness.InputOf(spec.Controller.Board, terminals[terminal].Kind)
		}}, nil
}

// zones lists the zones that can be started from afar.
func zones(spec *sitefile.Site) []string {
	var list []string
	if remote := spec.Controller.Settings.Remote; remote != nil {
		for _, z := range remote.Zones {
			list = append(list, z.Zone)
		}
	}
	return list
}
