// Package stand has the makers of simulated stands: the site of a site file, its network, and the simulated controller.
package stand

import (
	"context"

	"ullage/fakes/controller"
	"ullage/fakes/site"
	"ullage/fakes/wifi"
	"ullage/harness"
	"ullage/harness/sitefile"
)

// Site makes the simulated site of a plan.
func Site() harness.Maker[harness.Site] {
	return harness.Maker[harness.Site]{Make: func(_ context.Context, p *harness.Plan) (harness.Site, error) {
		return site.New(p.Site)
	}}
}

// Network makes the simulated access point and cloud of a plan.
func Network() harness.Maker[harness.Network] {
	return harness.Maker[harness.Network]{Make: func(_ context.Context, p *harness.Plan) (harness.Network, error) {
		return wifi.New(p.Site.WiFi, zones(p.Site)), nil
	}}
}

// NoNetwork makes networks without an access point in range.
func NoNetwork() harness.Maker[harness.Network] {
	return harness.Maker[harness.Network]{Make: func(_ context.Context, p *harness.Plan) (harness.Network, error) {
		return wifi.OutOfRange(p.Site.WiFi), nil
	}}
}

// Simulated makes simulated controllers.
func Simulated(options ...controller.Option) harness.Maker[harness.Controller] {
	return harness.Maker[harness.Controller]{Make: func(_ context.Context, p *harness.Plan) (harness.Controller,
		error) {
		c, err := controller.New(p.Site.Controller, p.Terminals, options...)
		if err != nil {
			return nil, err
		}
		return controller.OnOscillator(c), nil
	}}
}

// Makers are those of a simulated site and network in virtual time, with a controller of any kind.
func Makers(c harness.Maker[harness.Controller]) harness.Makers {
	return harness.Makers{Site: Site(), Network: Network(), Controller: c}
}

// Builder makes such stands for the scripts of sites.
func Builder(sites harness.Sites, c harness.Maker[harness.Controller]) harness.Builder {
	return Makers(c).On(sites).Build
}

// zones lists the zones that can be started remotely.
func zones(spec *sitefile.Site) []string {
	var list []string
	if remote := spec.Controller.Settings.Remote; remote != nil {
		for _, z := range remote.Zones {
			list = append(list, z.Zone)
		}
	}
	return list
}
