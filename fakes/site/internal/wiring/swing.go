package wiring

import (
	"ullage/fakes/site/internal/device"
	"ullage/harness/signal"
)

// swings tells whether the water under a float moves at a moment or will in the present step.
func (f *floatSwitch) swings(at signal.Time) bool { return f.slosh != nil && !f.slosh.Still(at) }

// followSwinging finds when swinging water next passes the float's threshold, or when to look again: at the top of the present
// half wave, at its end, and before the waves reach the threshold at all. So each wave costs a few looks, and water whose
// crests stay away from the threshold none until they have reached it once.
func (f *floatSwitch) followSwinging(from signal.Time) {
	threshold, rising := f.Threshold()
	past := func(at signal.Time) bool {
		mean, _ := f.tank.Mean(at)
		level := mean + f.slosh.Height(at)
		return rising && level >= threshold || !rising && level <= threshold
	}
	reach := f.slosh.Most(from)
	mean, _ := f.tank.Mean(from)
	switch gap := mean - threshold; {
	case from >= f.water.Ends():
	case past(from):
		f.crosses = from + 1
	case gap < -reach*near:
		f.looks = min(f.tank.Passes(threshold-reach, true, from), f.shown(from))
	case gap > reach*near:
		f.looks = min(f.tank.Passes(threshold+reach, false, from), f.shown(from))
	default:
		f.bobbed = true
		f.looks = min(f.slosh.HalfWave(from), f.water.Ends())
		if top := f.top(from, f.looks); top < f.looks {
			f.looks = top
		}
		if past(f.looks) {
			f.crosses = device.FirstPast(from, f.looks, from+(f.looks-from)/2, past)
			f.looks = signal.Never
		}
	}
}

// near keeps a threshold that the crests just reach from being looked for again and again.
const near = 1.001

// shown is when a recorded level is looked at next although its waves no longer reach the threshold: until they are still,
// lest its trace ends on a crest.
func (f *floatSwitch) shown(from signal.Time) signal.Time {
	if !f.shows || !f.bobbed {
		return signal.Never
	}
	return f.top(from, min(f.slosh.HalfWave(from), f.water.Ends()))
}

// top is when the water under the float turns round between two moments of a half wave; the later one when it does not.
func (f *floatSwitch) top(from, to signal.Time) signal.Time {
	rises := func(at signal.Time) bool {
		_, mean := f.tank.Mean(at)
		return mean+f.slosh.Speed(at) > 0
	}
	up := rises(from)
	if to <= from+1 || rises(to) == up {
		return to
	}
	return device.FirstPast(from, to, from+(to-from)/2, func(at signal.Time) bool { return rises(at) != up })
}

// recordLevel records how the water stands at the float, where the site file says that it swings: with its waves once they
// have reached the threshold, as still water before, when nobody follows them.
func (f *floatSwitch) recordLevel(at signal.Time) {
	if !f.shows {
		return
	}
	level, _ := f.tank.Mean(at)
	if f.bobbed {
		level += f.slosh.Height(at)
	}
	f.supply.Put(at, f.levelID, level)
}
