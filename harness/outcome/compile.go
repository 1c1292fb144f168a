package outcome

import (
	"fmt"
	"math"

	"ullage/harness/signal"
)

// Satisfies says that a formula holds at the start of the observation. Its numeric conditions must be of one dimension:
// margins of different dimension are never folded into one (see All). The margin is the robustness in that dimension;
// that of a condition On or Off is +Inf or -Inf. There is an allowance, the limit's magnitude, when all limits agree.
//
// When the run ended before the formula was decided, what is missing can be anything, and the robustness lies between two
// bounds (Deshmukh et al. 2017, Formal Methods in System Design 51, 5-30). It held if both are positive, failed if both
// are negative, and is not exercised otherwise; the margin is then the upper bound.
func Satisfies(f Formula) Property {
	conditions := f.conditions()
	p := &property{conditions: conditions, horizon: f.reach()}
	if probe := compile(f, false, 0); len(probe.ends) > 0 {
		p.horizon = 0
	}
	p.begin = func(s []subject) (judge, error) {
		if err := f.check(false); err != nil {
			return nil, err
		}
		return newSatisfaction(f, s)
	}
	return p
}

// satisfaction judges a formula.
type satisfaction struct {
	f      Formula
	of     subject // lends the dimension and the limit
	limits bool    // all limits agree
	bounds [2]*compiler

	least, most float64
}

func newSatisfaction(f Formula, subjects []subject) (*satisfaction, error) {
	j := &satisfaction{f: f, of: subjects[0], limits: true}
	for i, s := range subjects {
		switch {
		case s.shape == signal.Event:
			return nil, fmt.Errorf("outcome: %s exists only at its events; want signals with a value at all times in a formula", s.Signal)
		case !s.numeric():
			continue
		case !j.of.numeric():
			j.of = subjects[i]
		case s.dim != j.of.dim:
			return nil, fmt.Errorf("outcome: %s and %s measure different things, and their margins cannot be folded into one; make them parts of their own",
				j.of.Signal, s.Signal)
		}
		j.limits = j.limits && math.Abs(s.Limit) == math.Abs(j.of.Limit)
	}
	return j, nil
}

func (j *satisfaction) step(since, at signal.Time, r []reading) {
	if j.bounds[0] == nil {
		j.bounds = [2]*compiler{compile(j.f, false, at), compile(j.f, true, at)}
	}
	for _, c := range j.bounds {
		for i, l := range c.leaves {
			l.take(since, r[i].piece(at))
		}
	}
}

func (j *satisfaction) verdict(start, end signal.Time) Verdict {
	least, most := j.bounds[0].finish(end, j.f.reach()), j.bounds[1].finish(end, j.f.reach())
	j.least, j.most = least, most
	v := Verdict{Dim: j.of.dim, Signal: j.of.Signal, Margin: most, At: start}
	if j.of.numeric() && j.limits {
		v.Allowance = math.Abs(j.of.Limit)
	}
	switch {
	case j.bounds[0].beyond(end):
		v.State, v.Margin, v.At = NotExercised, 0, end
		v.Why = say("the run ended at %v, before an interval of the formula on %s began", end, j.of.Signal)
	case least >= 0:
		v.Margin = least
	case most < 0:
		v.State = Failed
		v.Why = fmt.Sprintf("the formula on %s had a margin of %s, want at least nought", j.of.Signal, j.of.difference(most))
	default:
		v.State, v.At = NotExercised, end
		v.Why = say("the run ended at %v before the formula on %s was decided: its margin lies from %s to %s",
			end, j.of.Signal, j.of.difference(least), j.of.difference(most))
	}
	return v
}

// compiler connects the parts that work a formula out. There is one for the lower bound of the robustness and one for the
// upper: in the first what lies past the end of the run is the worst there can be, in the second the best.
type compiler struct {
	leaves []leaf
	best   bool
	ends   []*stretch // those that reach to the end of the observation
	begin  signal.Time
	result func() (low, high float64)
}

// leaf takes the course of one condition.
type leaf struct {
	unknown float64
	to      taker
}

// take hands on a piece. While a signal has no value, it is unknown too.
func (l leaf) take(since signal.Time, p piece) {
	for _, v := range []*float64{&p.from, &p.to, &p.low, &p.high} {
		if math.IsNaN(*v) {
			*v = l.unknown
		}
	}
	l.to.take(since, p)
}

// compile prepares to work out a formula from a moment on.
func compile(f Formula, best bool, begin signal.Time) *compiler {
	c := &compiler{best: best, begin: begin}
	c.result = f.start(c, true)
	return c
}

// finish closes the courses at the end of the run and tells the robustness, given that nothing is known past it. A nested
// until needs up to twice its reach.
func (c *compiler) finish(end, reach signal.Time) float64 {
	for _, s := range c.ends {
		s.last = end
	}
	until := later(later(later(end, reach), reach), 1)
	for _, l := range c.leaves {
		l.take(end, level(until, l.unknown))
	}
	low, _ := c.result()
	return low
}

// beyond tells whether an interval to the end of the observation holds no moment of it.
func (c *compiler) beyond(end signal.Time) bool {
	for _, s := range c.ends {
		if s.first > end || s.first == end && s.firstOpen {
			return true
		}
	}
	return false
}

func (c *compiler) leaf(positive bool, to taker) {
	unknown := math.Inf(-1)
	if positive == c.best {
		unknown = math.Inf(1)
	}
	c.leaves = append(c.leaves, leaf{unknown, to})
}

// place sets a stretch to an interval from the beginning of the observation on.
func (c *compiler) place(s *stretch, over Interval) {
	*s = over.from(c.begin)
	if over.Until == signal.Never {
		c.ends = append(c.ends, s)
	}
}

// beginning keeps the moment at which a course begins.
type beginning struct {
	begun     bool
	low, high float64
}

func (g *beginning) take(since signal.Time, p piece) {
	if !g.begun {
		g.begun, g.low, g.high = true, p.low, p.high
	}
}
