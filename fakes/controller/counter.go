package controller

import "ullage/harness/signal"

// wrapsAt is where a counter of milliseconds of 32 bits begins anew, ms.
const wrapsAt = 1 << 32

// counter is the counter of milliseconds, of which a firmware that compares what it counts sees 32 bits.
type counter struct {
	counted bool        // it has been given a value
	begin   signal.Time // what it counted when the run began
}

// wrap is which ends of a counter of 32 bits lie within a span of time.
type wrap struct{ signed, unsigned bool }

// wraps finds them.
func (c *counter) wraps(from, until signal.Time) wrap {
	if !c.counted || until == signal.Never {
		return wrap{}
	}
	a, b := (c.begin+from)/signal.Millisecond, (c.begin+until)/signal.Millisecond
	return wrap{signed: (a>>31)&1 == 0 && a>>31 != b>>31, unsigned: a>>32 != b>>32}
}
