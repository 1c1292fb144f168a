package language

import (
	"slices"

	"ullage/harness/sitefile"
)

// Devices are the kinds of device, each with the names that a site has of it.
var Devices = []device{
	{"tank", func(s *sitefile.Site) []string { return Names(s.Tanks, func(d sitefile.Tank) string { return d.Name }) }},
	{"valve", func(s *sitefile.Site) []string {
		return Names(s.Valves, func(d sitefile.Valve) string { return d.Name })
	}},
	{"pump", func(s *sitefile.Site) []string { return Names(s.Pumps, func(d sitefile.Pump) string { return d.Name }) }},
	{"contact", func(s *sitefile.Site) []string {
		return Names(s.Contacts, func(d sitefile.Contact) string { return d.Name })
	}},
	{"probe", func(s *sitefile.Site) []string {
		return Names(s.Probes, func(d sitefile.Probe) string { return d.Name })
	}},
	{"supply", func(s *sitefile.Site) []string {
		return Names(s.Supplies, func(d sitefile.Supply) string { return d.Name })
	}},
	{"backflow preventer", func(s *sitefile.Site) []string {
		return Names(s.BackflowPreventers, func(d sitefile.BackflowPreventer) string { return d.Name })
	}},
	{"non-return valve", func(s *sitefile.Site) []string {
		return Names(s.NonReturnValves, func(d sitefile.NonReturnValve) string { return d.Name })
	}},
	{"meter", func(s *sitefile.Site) []string {
		return Names(s.Meters, func(d sitefile.Meter) string { return d.Name })
	}},
	{"bed", func(s *sitefile.Site) []string { return Names(s.Beds, func(d sitefile.Bed) string { return d.Name }) }},
	{"pipe", func(s *sitefile.Site) []string { return Names(s.Pipes, func(d sitefile.Pipe) string { return d.Name }) }},
	{"filter", func(s *sitefile.Site) []string {
		return Names(s.Filters, func(d sitefile.Filter) string { return d.Name })
	}},
	{"throttle", func(s *sitefile.Site) []string {
		return Names(s.Throttles, func(d sitefile.Throttle) string { return d.Name })
	}},
	{"regulator", func(s *sitefile.Site) []string {
		return Names(s.Regulators, func(d sitefile.Regulator) string { return d.Name })
	}},
	{"outlet", func(s *sitefile.Site) []string {
		return Names(s.Outlets, func(d sitefile.Outlet) string { return d.Name })
	}},
	{"lateral", func(s *sitefile.Site) []string {
		return Names(s.Laterals, func(d sitefile.Lateral) string { return d.Name })
	}},
	{"pipe or drip line", leaky},
	{"sprinkler", sprinklers},
	{"zone", zones},
	{"remote zone", remoteZones},
	{"place", places},
}

// Names is one thing of each item of a list, mostly its name.
func Names[T, N any](list []T, name func(T) N) []N {
	var all []N
	for _, item := range list {
		all = append(all, name(item))
	}
	return all
}

// zones are the outputs that a rule, a programme or somebody remote waters with.
func zones(s *sitefile.Site) []string {
	var all []string
	add := func(zone string) {
		for _, z := range all {
			if z == zone {
				return
			}
		}
		all = append(all, zone)
	}
	if m := s.Controller.Settings.Moisture; m != nil {
		add(m.Zone)
	}
	for _, p := range s.Controller.Settings.Programmes {
		add(p.Zone)
	}
	for _, z := range remoteZones(s) {
		add(z)
	}
	return all
}

func remoteZones(s *sitefile.Site) []string {
	if s.Controller.Settings.Remote == nil {
		return nil
	}
	return Names(s.Controller.Settings.Remote.Zones, func(z sitefile.RemoteZone) string { return z.Zone })
}

// places are the parts with a pressure.
func places(s *sitefile.Site) []string {
	all := Names(s.Supplies, func(d sitefile.Supply) string { return d.Name })
	all = append(all, Names(s.Pipes, func(d sitefile.Pipe) string { return d.Name })...)
	all = append(all, Names(s.Valves, func(d sitefile.Valve) string { return d.Name })...)
	all = append(all, Names(s.Pumps, func(d sitefile.Pump) string { return d.Name })...)
	all = append(all, Names(s.Filters, func(d sitefile.Filter) string { return d.Name })...)
	all = append(all, Names(s.Throttles, func(d sitefile.Throttle) string { return d.Name })...)
	all = append(all, Names(s.Regulators, func(d sitefile.Regulator) string { return d.Name })...)
	all = append(all, Names(s.Outlets, func(d sitefile.Outlet) string { return d.Name })...)
	return append(all, Names(s.Laterals, func(d sitefile.Lateral) string { return d.Name })...)
}

// Tank finds a tank of the site; nil when it has none of that name, which has been said already.
func (c *Compiler) Tank(name string) *sitefile.Tank {
	if c.Site == nil {
		return nil
	}
	for i := range c.Site.Tanks {
		if c.Site.Tanks[i].Name == name {
			return &c.Site.Tanks[i]
		}
	}
	return nil
}

// Bed finds a bed of the site; nil when it has none of that name, which has been said already.
func (c *Compiler) Bed(name string) *sitefile.Bed {
	if c.Site == nil {
		return nil
	}
	if i := slices.IndexFunc(c.Site.Beds, func(b sitefile.Bed) bool { return b.Name == name }); i >= 0 {
		return &c.Site.Beds[i]
	}
	return nil
}

// valve finds a valve of the site; nil when it has none of that name, which has been said already.
func (c *Compiler) valve(name string) *sitefile.Valve {
	if c.Site == nil {
		return nil
	}
	for i := range c.Site.Valves {
		if c.Site.Valves[i].Name == name {
			return &c.Site.Valves[i]
		}
	}
	return nil
}

// NeedWinding demands a valve whose coil is on for as long as it is open, and warms up.
func (c *Compiler) NeedWinding(name string) bool {
	v := c.valve(name)
	if v != nil && v.Drive != sitefile.SpringReturn {
		c.Fail("no temperature is computed of the coil of %q; expected one with drive: spring-return", name)
	}
	return v != nil && v.Drive == sitefile.SpringReturn
}

// NeedWall demands a pipe of a known wall somewhere before a valve.
func (c *Compiler) NeedWall(valve string) bool {
	v := c.valve(valve)
	if v == nil {
		return false
	}
	if !wallBefore(c.Site, v.From) {
		c.Fail("no surge is computed at the valve %q, as no pipe with a material and a wall leads to it", valve)
		return false
	}
	return true
}

// wallBefore reports whether the first pipe on the way up from a part, itself included, has a wall. Tanks, supplies,
// pumps and regulators end the way.
func wallBefore(site *sitefile.Site, name string) bool {
	up := map[string]string{}
	for _, x := range site.Meters {
		up[x.Name] = x.From
	}
	for _, x := range site.BackflowPreventers {
		up[x.Name] = x.From
	}
	for _, x := range site.NonReturnValves {
		up[x.Name] = x.From
	}
	for _, x := range site.Filters {
		up[x.Name] = x.From
	}
	for _, x := range site.Valves {
		up[x.Name] = x.From
	}
	for range len(up) + 1 {
		if i := slices.IndexFunc(site.Pipes, func(p sitefile.Pipe) bool { return p.Name == name }); i >= 0 {
			return site.Pipes[i].Material != ""
		}
		name = up[name]
	}
	return false
}

// leaky are the parts that water can get out of.
func leaky(s *sitefile.Site) []string {
	all := Names(s.Pipes, func(d sitefile.Pipe) string { return d.Name })
	return append(all, Names(s.Laterals, func(d sitefile.Lateral) string { return d.Name })...)
}

// sprinklers are the outlets that need a pressure to work.
func sprinklers(s *sitefile.Site) []string {
	var all []string
	for _, o := range s.Outlets {
		if o.WorksAbove.IsSet() {
			all = append(all, o.Name)
		}
	}
	return all
}
