package site

import (
	"math"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// curve is one linear signal of the site. Within a step it runs straight from start to end.
type curve struct {
	record     signal.Recorder
	id         signal.ID
	read       func() float64 // its value in the last solve
	start, end float64        // at the two ends of the present step
	reach      float64        // its largest size so far
	tolerance  float64        // share of reach by which it may miss the truth within a step

	last     float64     // the last point
	lastAt   signal.Time // its moment
	storedAt signal.Time // moment of the last point that is in the trace
	begun    bool
}

// newCurve declares a linear signal.
func newCurve(record signal.Recorder, device, name string, dim quantity.Dimension) curve {
	return curve{record: record, id: record.Declare(signal.Signal{Device: device, Quantity: name, Dim: dim, Shape: signal.Linear})}
}

// at is the value at a share of the present step.
func (c *curve) at(share float64) float64 {
	if share == 1 {
		return c.end
	}
	return c.start + float64((c.end-c.start)*share)
}

// to records that the curve has come straight to a point. A stretch at one level stores only its beginning, until anchor
// says that it ends; two points at one moment are a jump.
func (c *curve) to(at signal.Time, value float64) {
	if c.begun && value == c.last {
		c.lastAt = at
		return
	}
	c.anchor()
	c.record.Put(signal.Change{At: at, ID: c.id, Value: value})
	c.begun, c.last, c.lastAt, c.storedAt = true, value, at, at
	c.reach = math.Max(c.reach, math.Abs(value))
}

// anchor stores the end of a stretch at one level, which is the present moment: from here on the curve runs elsewhere.
func (c *curve) anchor() {
	if c.begun && c.lastAt > c.storedAt {
		c.record.Put(signal.Change{At: c.lastAt, ID: c.id, Value: c.last})
		c.storedAt = c.lastAt
	}
}

// total is the integral of a flow since the beginning of the run, m³.
type total struct {
	flow  *curve
	sum   float64 // at the start of the present step
	lost  bool    // water that does no good any more
	curve curve
}

// at is the total at a share of a step of dt seconds: the exact integral of the straight line.
func (t *total) at(share, dt float64) float64 {
	tau := share * dt
	return t.sum + float64(t.flow.start*tau) + float64((t.flow.end-t.flow.start)*share*tau)/2
}

// firstPast finds the first moment in (from, to], to the nanosecond, at which past is true, given that it is false at
// from, true at to, and turns true once: bisection, rounded to the side that is past. It begins around a guess.
func firstPast(from, to, guess signal.Time, past func(signal.Time) bool) signal.Time {
	const around = 2 // ns, by which a good guess may be out
	if guess > from+around && guess < to-around {
		switch early, late := past(guess-around), past(guess+around); {
		case early:
			to = guess - around
		case late:
			from, to = guess-around, guess+around
		default:
			from = guess + around
		}
	}
	for to-from > 1 {
		if middle := from + (to-from)/2; past(middle) {
			to = middle
		} else {
			from = middle
		}
	}
	return to
}

// reaches guesses after how many seconds the integral of a flow that runs straight from q0 to q1 in dt seconds is amount:
// the smaller positive root of the parabola, without cancellation.
func reaches(amount, q0, q1, dt float64) float64 {
	bend := (q1 - q0) / dt
	root := math.Sqrt(math.Max(0, float64(q0*q0)+float64(2*bend*amount)))
	if amount < 0 {
		root = -root
	}
	return 2 * amount / (q0 + root)
}

// vertex is the share of a step at which the integral of a flow that runs straight from q0 to q1 turns round; no number
// when it does not.
func vertex(q0, q1 float64) float64 {
	if q0 == 0 || (q0 > 0) == (q1 > 0) || q0 == q1 {
		return math.NaN()
	}
	return q0 / (q0 - q1)
}
