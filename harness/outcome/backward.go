package outcome

import "ullage/harness/signal"

// backward is "a until b" at every moment, b coming at the latest a span later. It is worked out from later to earlier, a
// block at a time: as soon as two spans of pieces are there, from their end back to their beginning; the last span of the
// result is not used, and its pieces wait for the next block. What lies past the span does no harm, because the result is
// only used as the smaller of it and "b within the span" (Donzé, Ferrère and Maler 2013): where b comes too late, the guard
// over the whole span is at least as large. Each piece is worked through twice at most.
type backward struct {
	span  signal.Time
	next  taker
	a, b  []piece // the first ends where the block begins
	begun bool
}

func (u *backward) take(since signal.Time, a, b piece) {
	if u.span == 0 { // b at once, and no guard
		u.next.take(since, piece{b.at, b.from, b.to, b.high, b.high})
		return
	}
	u.a, u.b = append(u.a, a), append(u.b, b)
	if last := u.a[len(u.a)-1].at; last-u.a[0].at >= 2*u.span {
		u.cut(last - u.span)
		u.block(last - u.span)
	}
}

// cut makes a piece end at a moment.
func (u *backward) cut(at signal.Time) {
	i := 0
	for u.a[i].at < at {
		i++
	}
	if u.a[i].at > at {
		u.a, u.b = split(u.a, i, at), split(u.b, i, at)
	}
}

func split(pieces []piece, i int, at signal.Time) []piece {
	p := pieces[i]
	v := straight(pieces[i-1].at, p.from, p.at, p.to, at)
	pieces = append(pieces, piece{})
	copy(pieces[i+1:], pieces[i:])
	pieces[i] = piece{at, p.from, v, v, v}
	pieces[i+1].from = v
	return pieces
}

// block hands on the result up to a moment, and drops the pieces before it.
func (u *backward) block(until signal.Time) {
	last := len(u.a) - 1
	parts := make([][]piece, len(u.a))
	v := u.b[last].high
	for i := last; i > 0; i-- {
		parts[i] = u.part(i, v)
		v = max(u.b[i-1].high, min(u.a[i-1].low, u.a[i].from, parts[i][0].from))
	}
	since := u.a[0].at
	if !u.begun {
		u.begun = true
		u.next.take(since, piece{at: since, low: v, high: v})
	}
	kept := 0
	for i := 1; u.a[kept].at < until; i++ {
		for _, p := range parts[i] {
			u.next.take(since, p)
			since = p.at
		}
		kept = i
	}
	u.a, u.b = u.a[:copy(u.a, u.a[kept:])], u.b[:copy(u.b, u.b[kept:])]
}

// gather keeps the pieces it is given.
type gather struct{ pieces []piece }

func (g *gather) take(since signal.Time, p piece) { g.pieces = append(g.pieces, p) }

// part is the result over piece i, given the result v at its end. While a rises, the guard from t on is a at t: b may
// still come on the piece if it rises too, or after it. While a falls, the guard is a at the moment at which b comes: on
// the way, best where a and b meet, or after the piece. In either case b may come at t itself.
func (u *backward) part(i int, v float64) []piece {
	since, a, b := u.a[i-1].at, u.a[i], u.b[i]
	var guard, result gather
	if a.to >= a.from {
		c := v
		if b.to > b.from {
			c = max(c, b.to)
		}
		lower{&guard}.take(since, a, level(a.at, c))
	} else {
		c := min(a.to, v)
		if b.to > b.from {
			c = max(c, min(a.from, b.from), min(a.to, b.to))
			if _, value, ok := meet(since, a, b); ok {
				c = max(c, value)
			}
		}
		guard.take(since, level(a.at, c))
	}
	start := since
	for _, g := range guard.pieces {
		from, to := straight(start, b.from, b.at, b.to, since), straight(start, b.from, b.at, b.to, g.at)
		lower{negate{&result}}.take(since, piece{g.at, -from, -to, -to, -to}, g.negative())
		since = g.at
	}
	end := &result.pieces[len(result.pieces)-1]
	end.low, end.high = v, v
	return result.pieces
}

// earlier moves a course to an earlier time; it begins where it began before.
type earlier struct {
	by    signal.Time
	next  taker
	start signal.Time
	begun bool
	moved bool
}

func (e *earlier) take(since signal.Time, p piece) {
	if !e.begun {
		e.begun, e.start = true, p.at
	}
	begin := e.start + e.by
	if p.at < begin {
		return
	}
	if !e.moved {
		e.moved = true
		first := piece{at: e.start, low: p.low, high: p.high}
		if p.at > begin {
			p.from = straight(since, p.from, p.at, p.to, begin)
			first.low, first.high = p.from, p.from
		}
		e.next.take(e.start, first)
		if p.at == begin {
			return
		}
		since = begin
	}
	p.at -= e.by
	e.next.take(since-e.by, p)
}
