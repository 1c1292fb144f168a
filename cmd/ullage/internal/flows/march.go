package flows

import "slices"

// state is what changes while a set runs: the levels of the tanks, the time, and the water that has left the outlets.
type state struct {
	levels []float64 // m
	time   float64   // s
	volume float64   // m³
}

// rate is the change of a state.
type rate struct {
	levels       []float64
	time, volume float64
}

// steps of an integration over one smooth stretch. The rule of Runge and Kutta (W. Kutta, 1901) is of the fourth order:
// with so many steps its error is below that of any figure that is printed.
const steps = 64

// perSecond is the change of a state in a second.
func (m *model) perSecond(levels []float64) (rate, error) {
	if err := m.solve(levels); err != nil {
		return rate{}, err
	}
	r := rate{levels: make([]float64, len(levels)), time: 1, volume: m.leaving()}
	for i := range levels {
		r.levels[i] = m.net(i) / m.area(i, levels[i])
	}
	return r, nil
}

// run lets the present set run for a time, or until a tank has sunk to a level; at is the number of that tank, or -1.
func (m *model) run(s state, seconds float64, at int, level float64) (end state, sunk bool, err error) {
	for range steps {
		next, err := march(s, seconds/steps, m.perSecond)
		if err != nil {
			return s, false, err
		}
		if at >= 0 && next.levels[at] <= level {
			share := 0.0
			if s.levels[at] > level {
				share = (s.levels[at] - level) / (s.levels[at] - next.levels[at])
			}
			next, err = march(s, share*seconds/steps, m.perSecond)
			return next, true, err
		}
		s = next
	}
	return s, false, nil
}

// rise lets the present set run until a tank has risen to a level. stops tells that it comes to rest before, at the
// level of the state then.
func (m *model) rise(s state, tank int, level float64) (end state, stops bool, err error) {
	perMetre := func(levels []float64) (rate, error) {
		r, err := m.perSecond(levels)
		if err != nil || r.levels[tank]*m.area(tank, levels[tank]) <= stray {
			stops = stops || err == nil
			return rate{levels: make([]float64, len(levels))}, err
		}
		seconds := 1 / r.levels[tank]
		for i := range r.levels {
			r.levels[i] *= seconds
		}
		r.time, r.volume = seconds, r.volume*seconds
		return r, nil
	}
	left := level - s.levels[tank]
	step, shortest := left/steps, left/steps/1000
	for left > shortest/1000 {
		stops = false
		next, err := march(s, min(step, left), perMetre)
		switch {
		case err != nil:
			return s, false, err
		case !stops:
			s, left = next, left-min(step, left)
		case step < shortest:
			return s, true, nil
		default:
			step /= 2
		}
	}
	return s, false, nil
}

// march takes one step of the fourth-order rule of Runge and Kutta.
func march(s state, step float64, slope func(levels []float64) (rate, error)) (state, error) {
	next := state{levels: slices.Clone(s.levels), time: s.time, volume: s.volume}
	at := slices.Clone(s.levels)
	for _, stage := range []struct{ weight, ahead float64 }{{1.0 / 6, 0.5}, {1.0 / 3, 0.5}, {1.0 / 3, 1},
		{1.0 / 6, 0}} {
		r, err := slope(at)
		if err != nil {
			return s, err
		}
		for i := range at {
			next.levels[i] += float64(stage.weight*step) * r.levels[i]
			at[i] = s.levels[i] + float64(stage.ahead*step)*r.levels[i]
		}
		next.time += float64(stage.weight*step) * r.time
		next.volume += float64(stage.weight*step) * r.volume
	}
	return next, nil
}
