package hydraulics

import (
	"slices"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/signal"
)

// content is what the pipes of a line hold, as a store that is joined with the line while there is air in it.
//
// A line that is cut off runs out as far as pipework.Line says; at the beginning of a run it has done so long ago. One
// whose openings the source sucks at takes air in by them, and its water goes back until the pipes are empty: then the
// source draws air, and nothing else moves. When water comes again, it fills the pipes before any comes out of the
// openings.
//
// What idealises: while it runs, a line is full; air meets no resistance; the water stands as in one vessel at the
// lowest opening, and what runs out does so there; a level pipe keeps its water, and so does one whose only opening is
// under water.
type content struct {
	store
	step    *Step
	line    *pipework.Line
	outlets []water.Outlet
	flows   []func() float64 // into the line, through its gates
	valve   *Valve           // that is its gate; nil when that is none

	airy   bool // there is air in it, and the store is joined
	barred bool // it fills, and its openings give nothing
	kv     float64
	begun  bool        // the run has
	joined signal.Time // when air was last let in
	stays  signal.Time // until when it stays as it is, after it has changed
	tries  signal.Time // when air is let in at the soonest, after nothing has come of it; Never when it need not wait
}

const (
	// filledIn is the time in s in which a line is filled by the least flow that counts as its supply: with less it runs
	// out, and what comes trickles through it (common practice, no source).
	filledIn = 3600
	// drawn is the suction at openings with which air comes in, m (common practice, no source).
	drawn = 0.01
	// contentTolerance is the error of a line's contents over one step, as a share of them.
	contentTolerance = 1e-4
	// patience is how long a line waits to let air in again after nothing has come of it: what draws at it is then held
	// off by something that closes.
	patience = signal.Minute
	// dwell is how long a line stays as it is after it has changed: what flips more quickly is no matter of pipes.
	dwell = signal.Second / 2
	// wide is the flow coefficient of the way between a line and its contents, m³/h: next to no loss, and yet a loss that
	// the solver resolves (chosen for that).
	wide = 50
	// wets is the share of a line's contents with which it feeds the network again after it was empty.
	wets = 0.05
)

// openContent declares the air in a line.
func openContent(s *Step, line *pipework.Line, valve *Valve) {
	c := &content{valve: valve, store: newStore(line.Store, line.Contents.Area), step: s, line: line, tries: signal.Never}
	c.cushion, c.area, c.full = true, 1, line.Contents.Full
	c.tolerance, c.bend = contentTolerance*c.full, contentTolerance*c.full
	c.covers = wets * c.full
	c.marks = []float64{0, c.covers, c.full}
	c.level = s.Line(signal.Part(line.Gate).Air())
	c.holds(c.full)
	for _, name := range line.Outlets {
		c.outlets = append(c.outlets, s.plan.Outlets[name]...)
	}
	for _, gate := range line.Gates {
		c.flows = append(c.flows, gateFlow(s, gate))
	}
	s.solver.Hold(c.node, 1)
	s.Add(c)
}

// gateFlow reads what a device lets into its line.
func gateFlow(s *Step, gate string) func() float64 {
	if supply, is := s.plan.Supplies[gate]; is {
		return func() float64 { return s.solver.Inflow(supply) }
	}
	if _, is := s.plan.Vessels[gate]; is {
		return func() float64 {
			sum := 0.0
			for _, m := range s.plan.Mouths[gate] {
				if !m.Inward {
					sum += s.solver.Flow(m.Link)
				}
			}
			return sum
		}
	}
	return s.Through(s.plan.Links[gate])
}

// fed is what comes into the line, m³/s.
func (c *content) fed() (flow float64) {
	for _, read := range c.flows {
		flow += read()
	}
	return flow
}

// sucked reports whether something draws at the line's end and at an opening that stands in the air.
func (c *content) sucked() bool {
	s := c.step.solver
	if s.Isolated(c.line.End) || s.Head(c.line.End) > c.line.Contents.Surface(c.volume)-drawn {
		return false
	}
	for _, o := range c.outlets {
		if s.OutletState(o) == water.Closed && s.Before(o) < 0 {
			return true
		}
	}
	return false
}

// supplied reports whether the line is supplied with what it needs to be full.
func (c *content) supplied() bool {
	fed, least := c.fed(), c.full/filledIn
	if c.barred {
		least /= 2 // what fills may come more slowly than what runs through
	}
	return fed > least || fed > rounding && c.valve != nil && c.valve.target > c.valve.disc
}

// change asks for a new solve when the line may have to let air in or be full again.
func (c *content) change(at signal.Time) (jump bool) {
	if c.airy {
		jump = c.store.change(at)
	}
	if c.tries <= at {
		c.tries = signal.Never
	}
	airy, barred, kv := c.wanted(at)
	return jump || airy != c.airy || barred != c.barred || kv != c.kv
}

// wanted is what the line ought to be by the last solve: whether there is air in it, whether it fills, and how wide its
// store is joined with it, by Kv in m³/h.
func (c *content) wanted(at signal.Time) (airy, barred bool, kv float64) {
	if full := c.airy && c.volume >= c.full && c.joined < at; at < c.stays && !full {
		return c.airy, c.barred, c.kv
	}
	supplied := c.supplied()
	falls := c.line.Contents.Falling > 0 && !supplied
	switch {
	case c.airy:
		// what has just been joined is full, and runs out
		airy = c.volume < c.full || falls || c.step.inflow(&c.store) < -rounding
	case falls:
		airy = true
	default:
		airy = c.tries == signal.Never && !supplied && c.sucked()
	}
	if !airy {
		return false, false, 0
	}
	if falls && c.fed() >= -rounding {
		return true, false, c.line.Contents.Kv
	}
	return true, supplied, wide
}

func (c *content) ends() signal.Time {
	if c.stays > c.step.t0 {
		return min(c.tries, c.stays)
	}
	return c.tries
}

// review has the network follow.
func (c *content) review(at signal.Time) (changed bool) {
	airy, barred, kv := c.wanted(at)
	s, begun := c.step, c.begun
	c.begun = true
	if !begun && !airy {
		c.level.To(at, 0)
	}
	if airy == c.airy && barred == c.barred && kv == c.kv {
		return false
	}
	if airy != c.airy {
		c.join(at, airy, !begun)
	}
	c.barred, c.kv = barred, kv
	if begun {
		c.stays = at + dwell
	}
	for _, o := range c.outlets {
		s.solver.SetBarred(o, barred)
	}
	s.solver.SetKv(c.line.Joint, kv)
	return true
}

// join takes the store into the steps, or out of them. A run begins with what runs out of the line gone.
func (c *content) join(at signal.Time, airy, begins bool) {
	s := c.step
	c.airy, c.dry = airy, false
	c.tries = signal.Never
	if !airy {
		if at <= c.joined+dwell {
			c.tries = at + patience
		}
		c.level.To(at, c.shown())
		c.level.Anchor()
		c.start, c.end = 0, 0
		s.stores = slices.DeleteFunc(s.stores, func(t *store) bool { return t == &c.store })
		s.solver.Hold(c.node, 1)
		return
	}
	if begins {
		c.holds(c.full - c.line.Contents.Falling)
	}
	c.joined = at
	c.level.To(at, c.shown())
	s.stores = append(s.stores, &c.store)
}
