package controller

import (
	"math"

	"ullage/harness"
	"ullage/harness/signal"
)

func withProbe(do func(c *Controller, p *probe)) func(*Controller) {
	return func(c *Controller) {
		if c.probe != nil {
			do(c, c.probe)
		}
	}
}

func probeTrusted(_ *Controller, p *probe) { p.least, p.most = math.Inf(-1), math.Inf(1) }

func probeKeepsLast(c *Controller, p *probe) {
	p.alerts = muted{p.alerts, []string{harness.AlertProbeFault}}
	c.spoil(p, spoilt{steps: func(now signal.Time) {
		reading, trusted := p.reading, p.trusted
		if p.step(now); p.faulty {
			p.faulty, p.reading, p.trusted = false, reading, trusted
		}
	}})
}

func withMoisture(do func(c *Controller, m *moisture)) func(*Controller) {
	return func(c *Controller) {
		if c.moisture != nil {
			do(c, c.moisture)
		}
	}
}

func cyclesForgotten(c *Controller, m *moisture) {
	c.spoil(m, spoilt{resets: func(now signal.Time) {
		m.kept.cycles = 0
		m.reset(now)
	}})
}

func restForgotten(c *Controller, m *moisture) {
	c.spoil(m, spoilt{resets: func(now signal.Time) {
		if now < m.kept.restUntil {
			m.kept.restUntil, m.kept.cycles = 0, 0
		}
		m.reset(now)
	}})
}

// cyclesNotCleared keeps the count of cycles when the soil has become wet; a rest that is over clears it.
func cyclesNotCleared(c *Controller, m *moisture) {
	c.spoil(m, spoilt{steps: func(now signal.Time) {
		rested, cycles := m.stage == resting, m.kept.cycles
		if m.step(now); !rested && m.kept.cycles == 0 {
			m.kept.cycles = cycles
		}
	}})
}

func spikeClears(c *Controller, m *moisture) {
	c.spoil(m, spoilt{steps: func(now signal.Time) {
		if m.stage == soaking && (m.reached || m.probe.reading >= m.stopsAt) {
			m.done()
		} else {
			m.step(now)
		}
	}})
}

// The programmes and the clock.

func eachProgramme(do func(c *Controller, p *programme)) func(*Controller) {
	return func(c *Controller) {
		for _, p := range c.programmes {
			do(c, p)
		}
	}
}

func startsMadeUp(c *Controller, p *programme) {
	planned := false
	c.spoil(p, spoilt{resets: func(now signal.Time) {
		if !planned {
			p.reset(now)
		}
		planned = true
	}})
}

func programmeResumes(c *Controller, p *programme) {
	c.spoil(p, spoilt{resets: func(now signal.Time) {
		if p.reset(now); now < p.until {
			p.until = now + p.run
			p.call.set(true)
		}
	}})
}

func clockLost(c *Controller) {
	c.atEachBoot(func(now signal.Time) {
		if c.boots > 1 {
			c.clock.offset = week - now%week
		}
	})
}

// believed is a clock that is taken for right whether somebody has set it or not.
type believed struct{ *clock }

func (believed) known() bool { return true }

func clockUnsetTrusted(c *Controller) {
	c.tells = muted{c.tells, []string{harness.AlertClockNotSet}}
	for _, p := range c.programmes {
		p.clock = believed{&c.clock}
	}
}

// The flow alarms.

func withFlow(do func(c *Controller, f *flow)) func(*Controller) {
	return func(c *Controller) {
		if c.flow != nil {
			do(c, c.flow)
		}
	}
}

func noFlowFirstOnly(c *Controller, f *flow) {
	c.spoil(f, spoilt{steps: func(now signal.Time) {
		seen := f.seen
		if f.step(now); f.calling && f.seen != seen {
			f.last = signal.Never - f.noFlowAfter
		}
	}})
}

func leakSettlesLong(c *Controller, f *flow) {
	usual := f.settles
	f.settles = signal.Hour
	c.spoil(f, spoilt{resets: func(now signal.Time) {
		f.reset(now)
		f.settled = now + usual
	}})
}

// deaf keeps the flow alarms from counting pulses without a call while something holds.
func deaf(c *Controller, f *flow, holds func() bool) spoilt {
	return spoilt{steps: func(now signal.Time) {
		settled := f.settled
		if holds() {
			f.settled = signal.Never
		}
		if f.step(now); f.settled == signal.Never {
			f.settled = settled
		}
	}}
}

func leakNeedsNetwork(c *Controller, f *flow) {
	c.spoil(f, deaf(c, f, func() bool { return c.network.link != up }))
}

// once raises an alert of one name and no further one.
type once struct {
	alerter
	name string
	said *bool
}

func (o once) raise(name string) {
	o.alerter.raise(name)
	*o.said = *o.said || name == o.name
}

func leakSaidOnce(c *Controller, f *flow) {
	said := false
	f.alerts = once{f.alerts, harness.AlertFlowWithoutCall, &said}
	s := deaf(c, f, func() bool { return said })
	s.resets = func(now signal.Time) {
		f.reset(now)
		said = false
	}
	c.spoil(f, s)
}
