package controller

import "ullage/harness/signal"

// otherLimit is a run limit that ends otherwise. A function that is left out is the limit's.
type otherLimit struct {
	*runLimit
	starts  func(now signal.Time)
	changes func(now, most signal.Time)
	ends    func() signal.Time
}

func (l otherLimit) start(now signal.Time) {
	if l.starts != nil {
		l.starts(now)
	} else {
		l.runLimit.start(now)
	}
}

func (l otherLimit) change(now, most signal.Time) {
	if l.changes != nil {
		l.changes(now, most)
	} else {
		l.runLimit.change(now, most)
	}
}

func (l otherLimit) end() signal.Time {
	if l.ends != nil {
		return l.ends()
	}
	return l.runLimit.end()
}

// startOf is where the time of a run is counted from.
func startOf(l limit) *signal.Time {
	if other, ok := l.(otherLimit); ok {
		return &other.began
	}
	return &l.(*runLimit).began
}

// endless never ends a run.
func endless(l limit) limit { return otherLimit{runLimit: l.(*runLimit), ends: never} }

func never() signal.Time { return signal.Never }

// wrapped has limits that are compared as they stand in a counter never end when an end of it lies within them: of a
// fill its longest run, of a remote run whatever would end it.
func wrapped(missed func(wrap) bool) func(*Controller) {
	return func(c *Controller) {
		watch := func(l *runLimit) (limit, func() bool) {
			var ends wrap
			return otherLimit{runLimit: l,
				starts: func(now signal.Time) {
					l.start(now)
					ends = l.counter.wraps(now, now+l.most)
				},
				ends: func() signal.Time {
					if missed(ends) {
						return signal.Never
					}
					return l.end()
				}}, func() bool { return missed(ends) }
		}
		if c.fill != nil {
			c.fill.limit, _ = watch(c.fill.limit.(*runLimit))
		}
		for _, z := range c.zones {
			var lasts func() bool
			z.limit, lasts = watch(z.limit.(*runLimit))
			lastsWhile(c, z, lasts)
		}
	}
}

// lastsWhile has nothing but a failure or a stop end a remote run while something holds.
func lastsWhile(c *Controller, z *remoteZone, holds func() bool) {
	c.spoil(z, spoilt{
		wakes: func() signal.Time {
			if holds() {
				return signal.Never
			}
			return z.wake()
		},
		steps: func(now signal.Time) {
			if !holds() || z.call.failed {
				z.step(now)
			}
		},
	})
}
