package outcome

import (
	"fmt"
	"math"

	"ullage/harness/signal"
)

// Always says that a condition holds at every moment of the observation, both ends included.
//
// For AtLeast and AtMost the margin is the smallest robustness, in the dimension of the signal: limit - x or x - limit.
// A linear signal is smallest at a vertex; at a jump both values count. The allowance is the limit's magnitude. A
// signal of events is judged by the figure of each event.
//
// For On and Off see Never.
func Always(c Condition) Property {
	if !c.numeric() {
		return Never(c.opposite())
	}
	return &property{conditions: []Condition{c}, begin: func(s []subject) (judge, error) {
		return &always{subject: s[0], least: extreme{value: math.Inf(1)}}, nil
	}}
}

// Never says that a condition holds at no moment of the observation, both ends included. Of a numeric condition it is
// Always of the opposite one; strict and loose limits are the same.
//
// Of On and Off the margin is in time. While the condition never came about there is no edge that could be shifted, and
// there is no margin. When it did, the margin is minus its longest stretch: an edge would have to be moved that far to
// make the worst stretch vanish. The allowance is then the length of the observation. Of a signal of events see None.
func Never(c Condition) Property {
	if c.numeric() {
		return Always(c.opposite())
	}
	return &property{conditions: []Condition{c}, begin: func(s []subject) (judge, error) {
		if s[0].shape == signal.Event {
			return &count{subject: s[0], want: Condition{Is: AtMost}}, nil
		}
		return &never{stretches{subject: s[0]}}, nil
	}}
}

// extreme keeps the smallest value and the first moment at which it was reached.
type extreme struct {
	value float64
	at    signal.Time
	found bool
}

// offer considers a value; one that is not a number is passed over.
func (e *extreme) offer(at signal.Time, v float64) {
	if v < e.value || !e.found && !math.IsNaN(v) {
		*e = extreme{v, at, true}
	}
}

// always judges a numeric condition.
type always struct {
	subject
	least extreme
}

func (j *always) step(since, at signal.Time, r []reading) {
	if since < at {
		j.least.offer(since, r[0].from)
		j.least.offer(at, r[0].to)
	}
	j.least.offer(at, r[0].low)
}

func (j *always) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: j.dim, Signal: j.Signal, Margin: math.Inf(1), At: end}
	if !j.least.found {
		return v
	}
	v.Margin, v.At, v.Allowance = j.least.value, j.least.at, math.Abs(j.Limit)
	if v.Margin < 0 {
		v.State = Failed
		v.Why = sentence("%s was %s at %v, want always %s", j.Signal, j.format(j.value(v.Margin)), v.At, j.is())
	}
	return v
}

// RiseAtMost says that a signal never stands more than limit above its value at the start of the observation: the water
// lost since then, the charge drawn since then. The margin is limit minus the greatest rise, in the signal's dimension;
// the allowance is the limit.
func RiseAtMost(name string, limit float64) Property { return rise(name, limit, AtMost) }

// RiseAtLeast says that a signal stands at least amount above its value at the start of the observation when the
// observation ends. The margin is the rise minus amount, in the signal's dimension; the allowance is the amount.
func RiseAtLeast(name string, amount float64) Property { return rise(name, amount, AtLeast) }

func rise(name string, limit float64, is Comparison) Property {
	level := Condition{Signal: name, Is: AtLeast} // its robustness is the signal itself
	return &property{conditions: []Condition{level}, begin: func(s []subject) (judge, error) {
		if !finite(limit) {
			return nil, fmt.Errorf("outcome: the limit for the rise of %s is %v; want a finite number", name, limit)
		}
		if s[0].shape == signal.Event {
			return nil, fmt.Errorf(
				"outcome: %s exists only at its events; want a signal with a value at all times for a rise",
				name,
			)
		}
		s[0].Is, s[0].Limit = is, limit
		return &rising{subject: s[0], reference: math.NaN()}, nil
	}}
}

// bound puts the rise that is wanted into words.
func (j *rising) bound() string {
	return [...]string{AtLeast: "at least ", AtMost: "at most "}[j.Is] + j.difference(j.Limit)
}

// rising judges the rise of a signal.
type rising struct {
	subject
	reference float64 // the signal at the start, after every change of that moment
	least     extreme
}

func (j *rising) step(since, at signal.Time, r []reading) {
	if math.IsNaN(j.reference) {
		j.reference = r[0].last
		j.least.offer(at, j.robustness(0))
		return
	}
	if j.Is == AtLeast { // only the last value counts
		j.least = extreme{j.robustness(j.risen(r[0].last)), at, true}
		return
	}
	if since < at {
		j.least.offer(at, j.robustness(j.risen(r[0].to)))
	}
	j.least.offer(at, j.robustness(j.risen(r[0].high)))
}

// risen is how far a value lies above the one at the start; from an infinite value to itself that is nothing.
func (j *rising) risen(value float64) float64 {
	if value == j.reference {
		return 0
	}
	return value - j.reference
}

func (j *rising) verdict(start, end signal.Time) Verdict {
	v := Verdict{Dim: j.dim, Signal: j.Signal, Margin: j.least.value, At: j.least.at, Allowance: math.Abs(j.Limit)}
	if v.Margin < 0 {
		v.State = Failed
		v.Why = sentence("%s had risen by %s at %v, want %s since %v", j.Signal, j.difference(j.value(v.Margin)), v.At,
			j.bound(), start)
	}
	return v
}
