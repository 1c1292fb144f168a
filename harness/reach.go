package harness

import (
	"slices"

	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// reach knows the way of a site's water: which outputs of the controller decide about which device.
type reach struct {
	feeds  map[string][]string // what a part gives water to
	fed    map[string][]string // what it has its water from
	holds  map[string][]string // contacts and probes that stand in a tank or bed
	output map[string]bool
	tank   map[string]bool
	// inputs that feel the current of coils: the supply, and contacts that share a return wire with them
	coupled map[string]bool
	into    map[string][]string // the outlets of a tank
	found   map[reached]map[string]way
}

// way is how the water of an output and a device have to do with each other.
type way uint8

// The ways; a device may be reached by both.
const (
	feeds way = 1 << iota // the output feeds it
	draws                 // its water goes to the output
)

// reached is what an output decides about: one that calls, or one that forbids.
type reached struct {
	output  string
	forbids bool
}

func newReach(site *sitefile.Site) *reach {
	r := &reach{feeds: map[string][]string{}, fed: map[string][]string{}, holds: map[string][]string{},
		output: map[string]bool{}, tank: map[string]bool{}, coupled: map[string]bool{PowerName: true}, into: map[string][]string{},
		found: map[reached]map[string]way{}}
	if site == nil {
		return r
	}
	join := func(from, to string) {
		if from != "" && to != "" {
			r.feeds[from], r.fed[to] = append(r.feeds[from], to), append(r.fed[to], from)
		}
	}
	for _, inlet := range site.Inlets() {
		join(inlet.From, inlet.Name)
	}
	for _, p := range site.Pipes { // water runs either way through a pipe that closes a loop
		join(p.Name, p.Joins)
		join(p.Joins, p.Name)
	}
	for _, o := range site.Outlets {
		join(o.Name, o.Onto)
		join(o.Name, o.Into)
		r.into[o.Into] = append(r.into[o.Into], o.Name)
	}
	for _, l := range site.Laterals {
		join(l.Name, l.Onto)
	}
	for _, c := range site.Contacts {
		r.holds[c.In] = append(r.holds[c.In], c.Name)
		r.coupled[c.Name] = c.Return != nil
	}
	for _, p := range site.Probes {
		r.holds[p.In] = append(r.holds[p.In], p.Name)
	}
	for _, t := range site.Controller.Terminals {
		r.output[t.Output] = t.Output != ""
	}
	for _, t := range site.Tanks {
		r.tank[t.Name] = true
	}
	return r
}

// of are the devices that an output decides about by its water: what it feeds, and what its water comes from. Behind
// another output nothing comes of one that opens; one that is kept shut takes the water from all behind it. A tank keeps
// its water, so that nothing beyond it is reached.
func (r *reach) of(output string, forbids bool) map[string]way {
	key := reached{output, forbids}
	if set, ok := r.found[key]; ok {
		return set
	}
	set, passed := map[string]way{}, map[string]bool{}
	var walk func(name string, next map[string][]string, how way, through bool)
	walk = func(name string, next map[string][]string, how way, through bool) {
		for _, to := range next[name] {
			if passed[to] {
				continue
			}
			passed[to] = true
			if !r.output[to] {
				set[to] |= how
				for _, inside := range r.holds[to] {
					set[inside] |= how
				}
			}
			if !r.tank[to] && (through || !r.output[to]) {
				walk(to, next, how, through)
			}
		}
	}
	walk(output, r.feeds, feeds, forbids)
	clear(passed)
	walk(output, r.fed, draws, true)
	r.found[key] = set
	return set
}

// decides reports whether a condition on a signal is one on what a rule decides: on an output or an alert, on what the
// controller says of the rule, or, by the water behind an output, on anything that its water reaches or comes from. Of a
// tank that only gives water to an output the level is not too high by it.
func (r *reach) decides(rule *Rule, s signal.Signal, is outcome.Comparison) bool {
	if slices.Contains(rule.States, s) {
		return true
	}
	for _, alert := range rule.Alerts {
		if s == signal.Controller.Alert(alert) || s == signal.Cloud.Alert(alert) || s == signal.Cloud.Alerts() {
			return true
		}
	}
	tank := signal.Tank(s.Device)
	over := s == tank.Level() && is == outcome.AtMost ||
		slices.Contains([]signal.Signal{tank.Spill(), tank.Spilled(), tank.Overflow(), tank.Overflowed()}, s)
	return slices.ContainsFunc(rule.Outputs, func(output string) bool {
		how := r.of(output, rule.Forbids)[s.Device]
		return output == s.Device || s.Device == string(signal.Site) || how&feeds != 0 || how != 0 && !over
	})
}

// looks lists the signals that an outcome looks at, and those of the same device that they follow from: the flow over a
// rim follows from the level, what runs back into the mains from their pressure.
func (r *reach) looks(run *Run, o outcome.Outcome) []string {
	var names []string
	add := func(list ...signal.Signal) {
		for _, s := range list {
			if _, ok := run.Trace.Find(s.Name()); ok && !slices.Contains(names, s.Name()) {
				names = append(names, s.Name())
			}
		}
	}
	for _, name := range o.Property.Signals() {
		if id, ok := run.Trace.Find(name); ok {
			s := run.Trace.Signals()[id]
			add(s)
			add(r.follows(s)...)
		}
	}
	return names
}

// follows lists the signals that one follows from.
func (r *reach) follows(s signal.Signal) []signal.Signal {
	d := s.Device
	is := func(others ...signal.Signal) bool { return slices.ContainsFunc(others, s.Alike) }
	valve, pump, tank, supply := signal.Valve(d), signal.Pump(d), signal.Tank(d), signal.Supply(d)
	alert, isAlert := s.CutAlert()
	switch {
	case is(valve.Open(), valve.Disc(), pump.Running()):
		return []signal.Signal{signal.Output(d).Coil()}
	case r.output[d] && is(valve.Flow()):
		return []signal.Signal{valve.Open(), pump.Running(), signal.Output(d).Coil()}
	case is(pump.Dry()):
		return []signal.Signal{pump.Running(), pump.Primed()}
	case is(valve.Parted()):
		return []signal.Signal{valve.Surge()}
	case is(tank.Spill(), tank.Spilled(), tank.Overflow(), tank.Overflowed(), tank.Leaked()):
		return []signal.Signal{tank.Level()}
	case d != "" && (is(supply.Return(), supply.Returned()) || r.returns(s)):
		return []signal.Signal{supply.Pressure()}
	case is(signal.Bed(d).Lost()):
		return []signal.Signal{signal.Bed(d).Water()}
	case is(tank.BackSiphonage(), tank.BackSiphoned()):
		var list []signal.Signal
		for _, outlet := range r.into[d] {
			list = append(list, signal.Outlet(outlet).Flow(), signal.Part(outlet).Pressure())
		}
		return list
	case is(signal.Outlet(d).Weak()):
		return []signal.Signal{signal.Part(d).Pressure()}
	case s == signal.Cloud.Alerts():
		var list []signal.Signal
		for _, name := range AlertNames() {
			list = append(list, signal.Controller.Alert(name))
		}
		return list
	case isAlert:
		return []signal.Signal{signal.Controller.Alert(alert)}
	}
	return nil
}

// returns reports whether a signal is the return into a supply of water of one fluid category.
func (r *reach) returns(s signal.Signal) bool {
	for category := 1; category <= 5; category++ {
		name := sitefile.CategoryName(category)
		if s.Alike(signal.Supply("").ReturnOf(name)) || s.Alike(signal.Supply("").ReturnedOf(name)) {
			return true
		}
	}
	return false
}
