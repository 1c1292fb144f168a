package outcome

import (
	"fmt"
	"math"

	"ullage/harness/signal"
)

// Formula is a statement of signal temporal logic about a course of signals from a moment on. Its robustness is that of
// Fainekos and Pappas 2009, Theoretical Computer Science 410, 4262-4291, and Donzé and Maler 2010, LNCS 6246, in
// continuous time: of x >= c it is x - c, of a negation the negative, of a conjunction the smallest, of a disjunction the
// greatest, and of the temporal operators as stated at each. Where a linear signal jumps, it has both values.
type Formula interface {
	// conditions lists the conditions in the order in which stream and start meet them.
	conditions() []Condition
	// check finds what cannot be monitored; nested formulas need an end of their interval.
	check(nested bool) error
	// reach is how far past a moment the courses decide on the robustness there; to the end of the observation is 0.
	reach() signal.Time
	// stream has the robustness at every moment handed to a taker.
	stream(c *compiler, positive bool, to taker)
	// start has the robustness at the first moment worked out; the function returned gives it after the last piece.
	start(c *compiler, positive bool) func() (low, high float64)
}

// Interval is the moments from From to Until after a moment, both included unless left out. Until signal.Never reaches
// to the end of the observation, and is possible only where the formula is not inside another temporal operator.
type Interval struct {
	From, Until               signal.Time
	WithoutFrom, WithoutUntil bool // leave an end out
}

type atom Condition

// Holds is the statement that a condition holds now.
func Holds(c Condition) Formula { return atom(c) }

func (f atom) conditions() []Condition { return []Condition{Condition(f)} }
func (f atom) check(bool) error        { return nil }
func (f atom) reach() signal.Time      { return 0 }

func (f atom) stream(c *compiler, positive bool, to taker) { c.leaf(positive, to) }

func (f atom) start(c *compiler, positive bool) func() (float64, float64) {
	first := &beginning{}
	c.leaf(positive, first)
	return func() (float64, float64) { return first.low, first.high }
}

type not struct{ of Formula }

// Not is the negation of a formula.
func Not(f Formula) Formula { return not{f} }

func (f not) conditions() []Condition { return f.of.conditions() }
func (f not) check(nested bool) error { return f.of.check(nested) }
func (f not) reach() signal.Time      { return f.of.reach() }

func (f not) stream(c *compiler, positive bool, to taker) { f.of.stream(c, !positive, negate{to}) }

func (f not) start(c *compiler, positive bool) func() (float64, float64) {
	of := f.of.start(c, !positive)
	return func() (float64, float64) {
		low, high := of()
		return -high, -low
	}
}

type and struct{ a, b Formula }

// And says that two formulas hold.
func And(a, b Formula) Formula { return and{a, b} }

// Or says that at least one of two formulas holds.
func Or(a, b Formula) Formula { return Not(And(Not(a), Not(b))) }

func (f and) conditions() []Condition { return append(f.a.conditions(), f.b.conditions()...) }
func (f and) reach() signal.Time      { return max(f.a.reach(), f.b.reach()) }

func (f and) check(nested bool) error {
	if err := f.a.check(nested); err != nil {
		return err
	}
	return f.b.check(nested)
}

func (f and) stream(c *compiler, positive bool, to taker) {
	joint := &pair{next: lower{to}}
	f.a.stream(c, positive, side{joint, 0})
	f.b.stream(c, positive, side{joint, 1})
}

func (f and) start(c *compiler, positive bool) func() (float64, float64) {
	a, b := f.a.start(c, positive), f.b.start(c, positive)
	return func() (float64, float64) {
		aLow, aHigh := a()
		bLow, bHigh := b()
		return min(aLow, bLow), min(aHigh, bHigh)
	}
}

type globally struct {
	over Interval
	of   Formula
}

// Globally says that a formula holds throughout an interval; its robustness is the smallest in it.
func Globally(over Interval, f Formula) Formula { return globally{over, f} }

// Finally says that a formula holds at some moment of an interval; its robustness is the greatest in it.
func Finally(over Interval, f Formula) Formula { return Not(Globally(over, Not(f))) }

func (f globally) conditions() []Condition { return f.of.conditions() }
func (f globally) reach() signal.Time      { return later(f.over.end(), f.of.reach()) }

func (f globally) check(nested bool) error {
	if err := f.over.check(nested); err != nil {
		return err
	}
	return f.of.check(true)
}

func (f globally) stream(c *compiler, positive bool, to taker) {
	f.of.stream(c, positive, &sliding{within: f.over.from(0), next: to})
}

func (f globally) start(c *compiler, positive bool) func() (float64, float64) {
	all := &fold{extreme: extreme{value: math.Inf(1)}}
	c.place(&all.within, f.over)
	f.of.stream(c, positive, all)
	return func() (float64, float64) { return all.value, all.value }
}

type untilFormula struct {
	over Interval
	a, b Formula
}

// UntilWithin says that b holds at some moment of an interval, and a from now up to, not including, that moment. Its
// robustness is the greatest, over the moments t of the interval, of min(b at t, smallest a before t).
func UntilWithin(over Interval, a, b Formula) Formula { return untilFormula{over, a, b} }

func (f untilFormula) conditions() []Condition {
	return append(f.a.conditions(), f.b.conditions()...)
}

func (f untilFormula) reach() signal.Time {
	return later(f.over.end(), max(f.a.reach(), f.b.reach()))
}

func (f untilFormula) check(nested bool) error {
	if err := f.over.check(nested); err != nil {
		return err
	}
	if f.over.WithoutFrom {
		return fmt.Errorf("outcome: the interval of an until begins after %v; want its beginning included", f.over.From)
	}
	if err := f.a.check(true); err != nil {
		return err
	}
	return f.b.check(true)
}

func (f untilFormula) start(c *compiler, positive bool) func() (float64, float64) {
	g := newGuarded(0, 0, false)
	c.place(&g.within, f.over)
	joint := &pair{next: &g}
	f.a.stream(c, positive, side{joint, 0})
	f.b.stream(c, positive, side{joint, 1})
	return func() (float64, float64) { return g.best.value, g.best.value }
}

// stream splits the operator (Donzé, Ferrère and Maler 2013, lemma on bounded until): a until b from From on is a up to
// From, and then a until b from at once, b within the rest of the interval.
func (f untilFormula) stream(c *compiler, positive bool, to taker) {
	rest := stretch{last: f.over.Until - f.over.From, lastOpen: f.over.WithoutUntil}
	if f.over.From > 0 {
		joint := &pair{next: lower{to}}
		before := &sliding{within: stretch{last: f.over.From, lastOpen: true}, next: side{joint, 0}}
		f.join(c, positive, rest, &earlier{by: f.over.From, next: side{joint, 1}}, before)
		return
	}
	f.join(c, positive, rest, to, nil)
}

// join streams a until b, b within a span from at once on; also is given a too.
func (f untilFormula) join(c *compiler, positive bool, within stretch, to, also taker) {
	joint := &pair{next: lower{to}}
	courses := &pair{next: &backward{span: within.last, next: side{joint, 0}}}
	var a taker = side{courses, 0}
	if also != nil {
		a = both{a, also}
	}
	f.a.stream(c, positive, a)
	f.b.stream(c, positive, both{side{courses, 1}, negate{&sliding{within: within, next: negate{side{joint, 1}}}}})
}

// from is the interval after a moment.
func (i Interval) from(t signal.Time) stretch {
	return stretch{later(t, i.From), later(t, i.Until), i.WithoutFrom, i.WithoutUntil}
}

// end is how far the interval reaches; one to the end of the observation needs nothing beyond it.
func (i Interval) end() signal.Time {
	if i.Until == signal.Never {
		return 0
	}
	return i.Until
}

func (i Interval) check(nested bool) error {
	switch {
	case i.From < 0 || i.Until < i.From || i.Until == i.From && (i.WithoutUntil || i.WithoutFrom):
		return fmt.Errorf("outcome: the interval from %v to %v holds no moment; want a beginning that is not negative and an end after it", i.From, i.Until)
	case nested && i.Until == signal.Never:
		return fmt.Errorf("outcome: an interval to the end of the run stands inside another temporal operator; give it an end")
	}
	return nil
}
