package controller

import "ullage/harness/signal"

func withFill(do func(c *Controller, f *fill)) func(*Controller) {
	return func(c *Controller) {
		if c.fill != nil {
			do(c, c.fill)
		}
	}
}

func longestRunRenewed(c *Controller, f *fill) {
	was := false
	c.spoil(f, spoilt{steps: func(now signal.Time) {
		if was != f.low.filter.state {
			*startOf(f.limit) = now
		}
		was = f.low.filter.state
		f.step(now)
	}})
}

func longestRunInCloud(c *Controller, f *fill) {
	inner := f.limit.(*runLimit)
	f.limit = otherLimit{runLimit: inner, ends: func() signal.Time {
		if c.network.link != up {
			return signal.Never
		}
		return inner.end()
	}}
}

func lockOutForgotten(c *Controller, f *fill) {
	c.spoil(f, spoilt{resets: func(now signal.Time) {
		f.reset(now)
		f.unlock()
	}})
}

func attemptsForgotten(c *Controller, f *fill) {
	c.spoil(f, spoilt{resets: func(now signal.Time) {
		f.reset(now)
		f.kept.failed = 0
	}})
}

func fillsAtBoot(c *Controller, f *fill) {
	c.spoil(f, spoilt{resets: func(now signal.Time) {
		if f.reset(now); c.boots > 1 {
			f.begin(now)
		}
	}})
}

// attemptsNotCleared keeps the count of failed fills at a fill that succeeds.
func attemptsNotCleared(c *Controller, f *fill) {
	c.spoil(f, spoilt{steps: func(now signal.Time) {
		failed := f.kept.failed
		if f.step(now); f.kept.failed == 0 {
			f.kept.failed = failed
		}
	}})
}

func fillTimeNotRenewed(_ *Controller, f *fill) {
	inner := f.limit.(*runLimit)
	f.limit = otherLimit{runLimit: inner, starts: func(now signal.Time) {
		if f.kept.failed == 0 {
			inner.start(now)
		}
	}}
}

func pauseFromStart(c *Controller, f *fill) {
	c.spoil(f, spoilt{steps: func(now signal.Time) {
		failed := f.kept.failed
		if f.step(now); f.kept.failed > failed {
			f.paused = *startOf(f.limit) + f.pause
		}
	}})
}

// lowWins has the fill see the high contact as released while the low one is operated.
func lowWins(c *Controller, f *fill) {
	if f.high == nil {
		return
	}
	high, seen := f.high, *f.high
	f.high = &seen
	c.spoil(f, spoilt{steps: func(now signal.Time) {
		seen.filter.state = high.filter.state && !f.low.filter.state
		f.step(now)
	}})
}

func settingsUnchecked(c *Controller, f *fill) {
	c.spoil(f, spoilt{resets: func(now signal.Time) {
		if f.reset(now); c.firmware.torn {
			f.limit.change(now, 0)
		}
	}})
}

func settingRenews(_ *Controller, f *fill) {
	inner := f.limit.(*runLimit)
	f.limit = otherLimit{runLimit: inner, changes: func(now, most signal.Time) {
		inner.change(now, most)
		inner.began = now
	}}
}
