package wiring

import (
	"ullage/fakes/site/internal/device"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness/signal"
)

// crossing is the moment at which the water at a float reaches a threshold.
type crossing struct {
	bench   *device.Bench
	water   *hydraulics.Water
	tank    *hydraulics.Tank
	slosh   *hydraulics.Slosh // of the water under the float; nil when nothing runs into its tank
	crosses signal.Time       // the level reaches the threshold
	looks   signal.Time       // sloshing water is looked at again
	levelID signal.ID         // of sloshing water at the float
	shows   bool              // that it is recorded
	bobbed  bool              // sloshing water has reached its threshold since it was last still
}

func newCrossing(bench *device.Bench, water *hydraulics.Water, tank *hydraulics.Tank, level signal.Signal) crossing {
	c := crossing{bench: bench, water: water, tank: tank, slosh: tank.Slosh(), crosses: signal.Never,
		looks: signal.Never}
	if c.shows = tank.ShowsSlosh(); c.shows {
		c.levelID = bench.Declare(level)
	}
	return c
}

// follow finds when the level reaches a threshold within the present step, from a moment on.
func (c *crossing) follow(from signal.Time, threshold float64, rising bool) {
	c.crosses, c.looks = signal.Never, signal.Never
	c.recordLevel(from)
	switch {
	case c.water.Ends() <= c.water.Begins():
	case c.sloshes(from):
		c.followSloshing(from, threshold, rising)
	default:
		c.bobbed = false
		c.crosses = c.tank.Passes(threshold, rising, from)
	}
}

// sloshes reports whether the water under a float moves at a moment or will in the present step.
func (c *crossing) sloshes(at signal.Time) bool { return c.slosh != nil && !c.slosh.Still(at) }

// followSloshing finds when sloshing water next passes the float's threshold, or when to look again: at the top of the
// present half wave, at its end, and before the waves reach the threshold at all. So each wave costs a few looks, and
// water whose crests stay away from the threshold none until they have reached it once.
func (c *crossing) followSloshing(from signal.Time, threshold float64, rising bool) {
	past := func(at signal.Time) bool {
		mean, _ := c.tank.Mean(at)
		level := mean + c.slosh.Height(at)
		return rising && level >= threshold || !rising && level <= threshold
	}
	reach := c.slosh.Most(from)
	mean, _ := c.tank.Mean(from)
	switch gap := mean - threshold; {
	case from >= c.water.Ends():
	case past(from):
		c.crosses = from + 1
	case gap < -reach*near:
		c.looks = min(c.tank.Passes(threshold-reach, true, from), c.shown(from))
	case gap > reach*near:
		c.looks = min(c.tank.Passes(threshold+reach, false, from), c.shown(from))
	default:
		c.bobbed = true
		c.looks = min(c.slosh.HalfWave(from), c.water.Ends())
		if top := c.top(from, c.looks); top < c.looks {
			c.looks = top
		}
		if past(c.looks) {
			c.crosses = device.FirstPast(from, c.looks, from+(c.looks-from)/2, past)
			c.looks = signal.Never
		}
	}
}

// near keeps a threshold that the crests just reach from being looked for again and again.
const near = 1.001

// shown is when a recorded level is looked at next although its waves no longer reach the threshold: until they are
// still, lest its trace ends on a crest.
func (c *crossing) shown(from signal.Time) signal.Time {
	if !c.shows || !c.bobbed {
		return signal.Never
	}
	return c.top(from, min(c.slosh.HalfWave(from), c.water.Ends()))
}

// top is when the water under the float turns round between two moments of a half wave; the later one when it does not.
func (c *crossing) top(from, to signal.Time) signal.Time {
	rises := func(at signal.Time) bool {
		_, mean := c.tank.Mean(at)
		return mean+c.slosh.Speed(at) > 0
	}
	up := rises(from)
	if to <= from+1 || rises(to) == up {
		return to
	}
	return device.FirstPast(from, to, from+(to-from)/2, func(at signal.Time) bool { return rises(at) != up })
}

// recordLevel records how the water stands at the float, where the site file says that it sloshes: with its waves once
// they have reached the threshold, as still water before, when nobody follows them.
func (c *crossing) recordLevel(at signal.Time) {
	if !c.shows {
		return
	}
	level, _ := c.tank.Mean(at)
	if c.bobbed {
		level += c.slosh.Height(at)
	}
	c.bench.Put(at, c.levelID, level)
}
