package flows

import (
	"fmt"
	"math"
	"slices"

	"ullage/harness/sitefile"
)

// trouble is something wrong with a part in one set.
type trouble struct {
	kind, mark string
	size       float64 // of two sets the one with more of it is named
	say        func(set string, c columns) string
}

// aboutParts looks at every part in every set.
func (m *model) aboutParts(r *Report) []Warning {
	var list []Warning
	type key struct {
		kind, part string
		alone      bool // what is wrong with a zone by itself is not hidden by what is worse with others
	}
	worst := map[key]int{} // place in list
	size := map[key]float64{}
	for i := range r.Sets {
		s := &r.Sets[i]
		for k := range s.Parts {
			p := &s.Parts[k]
			for _, t := range m.troubles(p, s.Opens) {
				by := key{t.kind, p.Name, s.alone()}
				// what other zones add to that is worth a line when it is more than a twentieth
				if found, is := size[key{t.kind, p.Name, true}]; is && !s.alone() &&
					t.size <= found+math.Abs(found)/20 {
					continue
				}
				w := Warning{Kind: t.kind, Set: s.Name, Part: p.Name,
					say: func(c columns) string { return t.say(s.Name, c) }}
				at, known := worst[by]
				switch {
				case !known:
					worst[by], size[by] = len(list), t.size
					list = append(list, w)
				case exceeds(t.size, size[by]):
					size[by] = t.size
					list[at] = w
				}
			}
		}
	}
	return list
}

// exceeds tells a greater size from one that differs by rounding.
func exceeds(size, other float64) bool { return size > other+1e-9*math.Abs(other) }

// troubles lists what is wrong with a part in its set.
func (m *model) troubles(p *Part, opens []string) []trouble {
	var list []trouble
	add := func(kind, mark string, size float64, say func(set string, c columns) string) {
		list = append(list, trouble{kind, mark, size, say})
	}
	if p.Outlet && p.meant && !flows(float64(p.Flow)) {
		why := m.barred(p.Name, opens)
		add("no water", "no water", 1, func(set string, _ columns) string {
			return fmt.Sprintf("no water comes to %s with %s open: %s", p.Name, set, why)
		})
	}
	if p.Outlet && !p.meant {
		add("uncalled", "not called for", float64(p.Flow), func(set string, c columns) string {
			return fmt.Sprintf("%s gets %s with %s open, which is not there for it", p.Name,
				c.flow.text(float64(p.Flow)), set)
		})
	}
	if p.Velocity != nil && *p.Velocity > Fast {
		v := float64(*p.Velocity)
		add("velocity", "fast", v, func(set string, c columns) string {
			return fmt.Sprintf("%s: %s with %s open, above %s", p.Name, c.velocity.text(v), set, c.velocity.text(Fast))
		})
	}
	lowest := p.Pressure
	if p.Last != nil {
		lowest = min(lowest, p.Last.Pressure)
	}
	if least, what := m.works(p.Name); p.meant && flows(float64(p.Flow)) && float64(lowest) < least {
		add("pressure", "low pressure", least-float64(lowest), func(set string, c columns) string {
			return fmt.Sprintf("%s: %s with %s open, below %s, %s", p.Name, c.pressure.text(float64(lowest)), set,
				c.pressure.text(least), what)
		})
	}
	if most := m.endures(p.Name); p.First != nil && float64(p.First.Pressure) > most {
		at := float64(p.First.Pressure)
		add("high pressure", "high pressure", at, func(set string, c columns) string {
			return fmt.Sprintf("%s: %s with %s open, above %s, the most that it is made for: put a regulator before it",
				p.Name, c.pressure.text(at), set, c.pressure.text(most))
		})
	}
	if p.Idle && p.meant {
		add("regulator", "not regulating", -float64(p.Pressure), func(set string, c columns) string {
			return fmt.Sprintf("%s does not regulate with %s open: %s behind it, too little before it", p.Name, set,
				c.pressure.text(float64(p.Pressure)))
		})
	}
	if starts := m.starts(p.Name); flows(float64(p.Flow)) && float64(p.Flow) < starts {
		add("meter", "does not count", starts-float64(p.Flow), func(set string, c columns) string {
			return fmt.Sprintf("%s does not count with %s open: %s, below the %s that it starts at", p.Name, set,
				c.flow.text(float64(p.Flow)), c.flow.text(starts))
		})
	}
	if lifts := m.lifts(p.Name); slices.Contains(opens, p.Name) && float64(p.stands) < lifts {
		at := float64(p.stands)
		add("pilot", "does not open", lifts-at, func(set string, c columns) string {
			return fmt.Sprintf(
				"%s: %s stands across it before %s opens, less than the %s that lift its disc: it stays shut, and nothing flows of what is said here",
				p.Name,
				c.pressure.text(at),
				set,
				c.pressure.text(lifts),
			)
		})
	} else if held, needs := m.heldUp(p); held < needs {
		add("pilot", "not held open", needs-held, func(set string, c columns) string {
			return fmt.Sprintf("%s: fully open it would take %s with %s open, less than the %s that hold its disc up: it throttles to that",
				p.Name, c.pressure.text(held), set, c.pressure.text(needs))
		})
	}
	if p.Dry {
		add("pump", "draws air", 1, func(set string, c columns) string {
			return fmt.Sprintf("%s draws air with %s open: the water before it stands below its dry level", p.Name, set)
		})
	}
	if p.Against {
		add("pump", "closed line", 1, func(set string, c columns) string {
			return fmt.Sprintf("%s runs against a closed line with %s open: nothing flows, and it overheats", p.Name,
				set)
		})
	}
	if p.PastEnd {
		add("run-out", "past its curve", float64(p.Flow), func(set string, c columns) string {
			return fmt.Sprintf("%s gives %s with %s open, past the end of its curve: it may be overloaded", p.Name,
				c.flow.text(float64(p.Flow)), set)
		})
	}
	if p.Suction {
		add("suction", "below the air", -float64(p.Pressure), func(set string, c columns) string {
			return fmt.Sprintf("%s: %s below the pressure of the air with %s open: it can draw in air and dirt", p.Name,
				c.pressure.text(-float64(p.Pressure)), set)
		})
	}
	return list
}

// marks are the words that stand beside a part.
func (m *model) marks(p *Part, opens []string) []string {
	var list []string
	for _, t := range m.troubles(p, opens) {
		list = append(list, t.mark)
	}
	return list
}

// works is the least pressure at which an outlet waters as it should, Pa, and what that is; -Inf for open pipe ends.
func (m *model) works(name string) (least float64, what string) {
	for _, x := range m.site.Outlets {
		switch {
		case x.Name != name:
		case x.WorksAbove.IsSet():
			return x.WorksAbove.SI, "from which it works"
		case x.Flow.SI > 0:
			return needs(x.At.SI, x.Compensates)
		}
	}
	for _, x := range m.site.Laterals {
		if x.Name == name {
			return needs(x.At.SI, x.Compensates)
		}
	}
	return math.Inf(-1), ""
}

// endures is the greatest pressure that openings are made for, Pa; +Inf where the file does not say.
func (m *model) endures(name string) float64 {
	most := func(c sitefile.Compensation) float64 {
		if c.To.IsSet() {
			return c.To.SI
		}
		return math.Inf(1)
	}
	for _, x := range m.site.Outlets {
		if x.Name == name {
			return most(x.Compensates)
		}
	}
	for _, x := range m.site.Laterals {
		if x.Name == name {
			return most(x.Compensates)
		}
	}
	return math.Inf(1)
}

// needs is what openings need of which the file says no more than where their flow is given, and the range in which
// they compensate.
func needs(at float64, c sitefile.Compensation) (least float64, what string) {
	if c.From.IsSet() {
		return c.From.SI, "from which it compensates"
	}
	return at * leastOfRated, fmt.Sprintf("%.0f %% of the pressure that its flow is given at", 100*leastOfRated)
}

// starts is the flow in m³/s that a meter starts at; 0 of anything else.
func (m *model) starts(name string) float64 {
	if meter, is := m.site.Entry(name).(*sitefile.Meter); is {
		return meter.StartsAt.SI
	}
	return 0
}
