package flows

import (
	"math"
	"slices"

	"ullage/harness/sitefile"
)

// tanks computes for each tank how it fills and what becomes of the full inflow.
func (m *model) tanks(all []zone) ([]Tank, error) {
	list := []Tank{}
	for i := range m.site.Tanks {
		t, err := m.tankReport(i, all)
		if err != nil {
			return nil, err
		}
		list = append(list, t)
	}
	return list, nil
}

func (m *model) tankReport(i int, all []zone) (Tank, error) {
	spec := m.site.Tanks[i]
	t := Tank{Name: spec.Name, Rim: Length(spec.Rim.SI), From: Length(m.full(spec)), Through: m.inlets(spec.Name),
		Overflow: []Outflow{}}
	if at := slices.IndexFunc(all, func(z zone) bool { return m.fills(z, spec.Name) }); at >= 0 {
		fill, err := m.fill(i, all[at])
		if err != nil {
			return t, err
		}
		t.Fill = fill
	}
	m.supply(highestOf)
	defer m.supply(weakestOf)
	m.open(t.Through)
	levels := m.otherwiseFull(i)
	levels[i] = float64(t.From)
	if err := m.solve(levels); err != nil {
		return t, err
	}
	for _, x := range m.site.Outlets {
		if x.Into == spec.Name {
			t.Inflow += Flow(m.outflow(x.Name))
		}
	}
	if !flows(float64(t.Inflow)) {
		return t, nil
	}
	for _, share := range m.shares(spec) {
		o, err := m.outflowOf(i, levels, share)
		if err != nil {
			return t, err
		}
		t.Overflow = append(t.Overflow, o)
	}
	m.unblock(spec.Name, 1)
	return t, nil
}

// shares of the overflow that are looked at: clear, half blocked, blocked; without an overflow the last alone.
func (m *model) shares(t sitefile.Tank) []float64 {
	if !math.IsInf(t.Overflow(), 1) {
		return []float64{1, 0.5, 0}
	}
	return []float64{0}
}

// unblock leaves so much of a tank's overflow open.
func (m *model) unblock(tank string, share float64) {
	for _, way := range m.plan.Overflows[tank] {
		way.Set(m.solver, share, way.Takes)
	}
}

// full is the level at which a tank counts as full: where the contact operates that ends its fill, or where low water
// is no more; in a tank that no rule fills, the level that a run begins with.
func (m *model) full(t sitefile.Tank) float64 {
	if f := m.site.Controller.Settings.Fill; f != nil {
		if low := m.contact(f.Low); low != nil && low.In == t.Name {
			if high := m.contact(f.High); high != nil {
				return high.Operates.SI
			}
			return low.Releases.SI
		}
	}
	return t.Starts.SI
}

// fills reports whether a zone is the fill of a tank.
func (m *model) fills(z zone, tank string) bool {
	f := m.site.Controller.Settings.Fill
	if f == nil || z.calls[0].rule != ruleFill {
		return false
	}
	low := m.contact(f.Low)
	return low != nil && low.In == tank
}

// inlets lists the outputs through which water comes to the outlets into a tank.
func (m *model) inlets(tank string) []string {
	list := []string{}
	for _, p := range m.order {
		if !slices.ContainsFunc(m.site.Outlets, func(o sitefile.Outlet) bool {
			return o.Name == p.name &&
				o.Into == tank
		}) {
			continue
		}
		for _, on := range m.way(p) {
			if m.driven(on) && !slices.Contains(list, on) {
				list = append(list, on)
			}
		}
	}
	return list
}

// otherwiseFull are the levels with the tanks besides one full to the rim, from where most comes.
func (m *model) otherwiseFull(but int) []float64 {
	levels := slices.Clone(m.levels)
	for i, t := range m.site.Tanks {
		if i != but {
			levels[i] = t.Rim.SI
		}
	}
	return levels
}

// fill computes one fill of a tank.
func (m *model) fill(i int, z zone) (*Fill, error) {
	rule := m.site.Controller.Settings.Fill
	from, to := m.contact(rule.Low).Operates.SI, m.full(m.site.Tanks[i])
	f := &Fill{From: Length(from), To: Length(to), Longest: Seconds(rule.LongestRun.SI)}
	m.open(z.outputs)
	levels := slices.Clone(m.levels)
	levels[i] = from
	if err := m.solve(levels); err != nil {
		return nil, err
	}
	f.Begin = Flow(m.net(i))
	end, stops, err := m.rise(state{levels: levels}, i, to)
	if err != nil {
		return nil, err
	}
	f.Volume, f.End = Volume(end.volume), Flow(m.net(i))
	if stops {
		at := Length(end.levels[i])
		f.Stops = &at
		return f, nil
	}
	lasts := Seconds(end.time)
	f.Lasts = &lasts
	return f, nil
}

// outflowOf computes where the water comes to rest while the full inflow goes on and a share of the overflow is open,
// or how long it takes to the rim.
func (m *model) outflowOf(i int, levels []float64, share float64) (Outflow, error) {
	spec := m.site.Tanks[i]
	o := Outflow{Open: Share(share)}
	m.unblock(spec.Name, share)
	net := func(level float64) (float64, error) {
		at := slices.Clone(levels)
		at[i] = level
		err := m.solve(at)
		return m.net(i), err
	}
	over, err := net(spec.Rim.SI)
	if err != nil {
		return o, err
	}
	if over <= stray {
		return o, comesToRest(&o, spec.Rim.SI, net)
	}
	s := state{levels: slices.Clone(levels)}
	for _, level := range bends(spec) {
		if level <= s.levels[i] {
			continue
		}
		var stops bool
		if s, stops, err = m.rise(s, i, level); err != nil || stops {
			return o, err
		}
	}
	time := Seconds(s.time)
	o.Overruns, o.OverRim = &time, Flow(over)
	return o, nil
}

// bends are the levels up to the rim at which the flow out of a tank has a bend: the crests of its overflows.
func bends(t sitefile.Tank) []float64 {
	list := append(t.Crests(), t.Rim.SI)
	slices.Sort(list)
	return list
}

// comesToRest finds the level at which as much leaves a tank as comes in, by bisection: more leaves the higher it
// stands.
func comesToRest(o *Outflow, rim float64, net func(level float64) (float64, error)) error {
	const halvings = 40 // to a part in 1e12 of the tank's height
	low, high := 0.0, rim
	for range halvings {
		middle := (low + high) / 2
		q, err := net(middle)
		if err != nil {
			return err
		}
		if q > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	level, room := Length(high), Length(rim-high)
	o.Level, o.Room = &level, &room
	return nil
}
