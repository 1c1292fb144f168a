package flows

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// Warning is something that an installer should look at.
type Warning struct {
	Kind string // velocity, pressure, high pressure, regulator, meter, pilot, pump, run-out, suction, no water, uncalled, always, fill, overflow, uniformity, run, backflow
	Set  string // name of the set in which it is worst; "" for what is not about a set
	Part string // the part or tank
	say  func(columns) string
}

// Text is the warning in a sentence, in the units of a system.
func (w Warning) Text(system quantity.System) string { return w.say(trade(system)) }

// MarshalJSON writes the warning with its text in metric units.
func (w Warning) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Kind string `json:"kind"`
		Set  string `json:"set,omitempty"`
		Part string `json:"part"`
		Text string `json:"text"`
	}{w.Kind, w.Set, w.Part, w.Text(quantity.Metric)})
}

// The limits that warnings go by.
const (
	// Fast is the velocity in m/s above which knocking, noise and wear are feared: the design rule of 5 ft/s, 1.524 m/s
	// (newsletter of an irrigation turf managers' association, verified; as a rule from memory), rounded as metric
	// practice has it.
	Fast = 1.5
	// leastOfRated is the share of the pressure at which the flow of an opening is given below which it is not taken to
	// water as printed (common practice, no source).
	leastOfRated = 0.8
	// uneven is the uniformity of the lower quarter below which a zone counts as poor (common practice, no source).
	uneven = 0.75
	// leastRoom is the room to the rim, m, below which waves and a tank out of level spill (common practice, no
	// source).
	leastRoom = 0.010
)

// warnings lists what is wrong, each thing once: in the set in which it is worst.
func (m *model) warnings(r *Report) ([]Warning, error) {
	always, err := m.always()
	list := append([]Warning{}, always...)
	list = append(list, withoutWater(r)...)
	for _, w := range m.aboutParts(r) {
		known := slices.ContainsFunc(always, func(a Warning) bool { return a.Part == w.Part })
		if w.Kind != "uncalled" || !known {
			list = append(list, w)
		}
	}
	list = append(list, aboutTanks(r)...)
	list = append(list, m.dipping()...)
	list = append(list, m.joined()...)
	return append(list, aboutZones(r)...), err
}

// dipping warns of outlets that hang in the water of a tank with no backflow preventer of its fluid category (EN 1717)
// between them and a supply.
func (m *model) dipping() []Warning {
	var list []Warning
	for _, o := range m.site.Outlets {
		way := m.way(part{name: o.Name, from: o.From})
		tank := slices.IndexFunc(m.site.Tanks, func(t sitefile.Tank) bool { return t.Name == o.Into })
		if !o.Dips.IsSet() || tank < 0 || !slices.ContainsFunc(m.site.Supplies,
			func(s sitefile.Supply) bool { return s.Name == way[0] }) {
			continue
		}
		category := m.site.Tanks[tank].Category
		if slices.ContainsFunc(m.site.BackflowPreventers, func(p sitefile.BackflowPreventer) bool {
			return p.Category >= category && slices.Contains(way, p.Name)
		}) {
			continue
		}
		list = append(list, Warning{Kind: "backflow", Part: o.Name, say: func(columns) string {
			return fmt.Sprintf("%s dips into %s: no backflow preventer of fluid category %d keeps its water out of %s",
				o.Name, o.Into, category, way[0])
		}})
	}
	return list
}

// joined warns of tanks whose pipes are joined with those of a supply that has no backflow preventer of their fluid
// category: a pump, or the tank's height, presses their water back.
func (m *model) joined() []Warning {
	var list []Warning
	for _, supply := range m.site.Supplies {
		with := m.site.JoinedWith(supply.Name)
		for _, tank := range m.site.Tanks {
			kept := slices.ContainsFunc(m.site.BackflowPreventers, func(p sitefile.BackflowPreventer) bool {
				return p.Category >= tank.Category && m.plan.Source(p.Name) == supply.Name
			})
			if kept || !slices.Contains(with, tank.Name) {
				continue
			}
			list = append(list, Warning{Kind: "backflow", Part: tank.Name, say: func(columns) string {
				return fmt.Sprintf(
					"the pipes of %s are joined with those of %s: no backflow preventer of fluid category %d keeps its water out of %s",
					tank.Name,
					supply.Name,
					tank.Category,
					supply.Name,
				)
			}})
		}
	}
	return list
}

// withoutWater warns of outlets that no set is there for; those that one is there for are among its troubles.
func withoutWater(r *Report) []Warning {
	var list []Warning
	for _, d := range r.Dry {
		if !d.meant {
			list = append(list, Warning{Kind: "no water", Part: d.Name, say: func(columns) string {
				return fmt.Sprintf("no water comes to %s: %s", d.Name, d.Why)
			}})
		}
	}
	return list
}

// always warns of water that runs with every valve shut and every pump off.
func (m *model) always() ([]Warning, error) {
	m.open(nil)
	if err := m.solve(m.levels); err != nil {
		return nil, err
	}
	var list []Warning
	for _, p := range m.order {
		if q := m.outflow(p.name); p.leaves() && flows(q) {
			list = append(list, Warning{Kind: "always", Part: p.name, say: func(c columns) string {
				return fmt.Sprintf("%s runs with every valve shut and every pump off: %s", p.name, c.flow.text(q))
			}})
		}
	}
	return list, nil
}

func aboutTanks(r *Report) []Warning {
	var list []Warning
	for _, t := range r.Tanks {
		add := func(kind string, say func(c columns) string) {
			list = append(list, Warning{Kind: kind, Part: t.Name, say: say})
		}
		if f := t.Fill; f != nil {
			switch {
			case f.Lasts == nil:
				add("fill", func(c columns) string {
					return fmt.Sprintf("%s never fills: the level comes to rest at %s", t.Name,
						c.length.text(float64(*f.Stops)))
				})
			case *f.Lasts > f.Longest:
				add("fill", func(columns) string {
					return fmt.Sprintf("a fill of %s takes %s, more than the longest run of %s", t.Name,
						lasting(*f.Lasts), lasting(f.Longest))
				})
			}
		}
		for _, o := range t.Overflow {
			if _, say := o.complaint(t.Name, len(t.Overflow) == 1); say != nil {
				add("overflow", say)
			}
		}
	}
	return list
}

// complaint says what is wrong with an overflow while a share of it is open; nil when nothing is, and when it is
// blocked, which no overflow survives.
func (o Outflow) complaint(tank string, none bool) (mark string, say func(columns) string) {
	half := ""
	if o.Open > 0 && o.Open < 1 {
		half = ", half blocked,"
	}
	switch {
	case none && o.Overruns != nil:
		return "too small", func(c columns) string {
			return fmt.Sprintf("%s has no overflow: %s goes over the rim %s after full", tank,
				c.flow.text(float64(o.OverRim)), lasting(*o.Overruns))
		}
	case o.Open > 0 && o.Overruns != nil:
		return "too small", func(c columns) string {
			return fmt.Sprintf(
				"the overflow of %s%s does not carry the full inflow: %s goes over the rim %s after full",
				tank,
				half,
				c.flow.text(float64(o.OverRim)),
				lasting(*o.Overruns),
			)
		}
	case o.Open > 0 && o.Room != nil && *o.Room < leastRoom:
		return "little room", func(c columns) string {
			return fmt.Sprintf("the overflow of %s%s leaves %s to the rim at the full inflow", tank, half,
				c.length.text(float64(*o.Room)))
		}
	}
	return "", nil
}

func aboutZones(r *Report) []Warning {
	var list []Warning
	for i := range r.Sets {
		s := &r.Sets[i]
		if u := s.Uniformity; s.alone() && u != nil && u.LowerQuarter < uneven {
			list = append(list, Warning{Kind: "uniformity", Set: s.Name, Part: s.Name, say: func(columns) string {
				return fmt.Sprintf("%s waters unevenly: lower quarter %.0f %%, below %.0f %%", s.Name,
					100*u.LowerQuarter, 100*float64(uneven))
			}})
		}
		for _, run := range s.Runs {
			if run.Ended != "" {
				list = append(list, Warning{Kind: "run", Set: s.Name, Part: s.Name, say: func(columns) string {
					return fmt.Sprintf("%s: %s stops the pump after %s of a run (%s)", s.Name, run.Ended,
						lasting(run.Lasts), run.Rule)
				}})
			}
		}
	}
	return list
}

// lasting prints a time, to the second where it is more than a minute.
func lasting(s Seconds) string {
	if s > 60 {
		s = Seconds(math.Round(float64(s)))
	}
	return quantity.Format(float64(s), quantity.Duration)
}
