package wiring

import (
	"ullage/harness/numeric"
	"ullage/harness/signal"
)

// lag is that of a probe that comes to feel the soil around it late: what it shows follows what it feels as a lag of
// the first order does, T dx/dt = w - x. Where the soil runs straight, w = w0 + s t, that is x = w - s T + (x0 - w0 + s
// T) exp(-t/T).
type lag struct {
	constant float64 // knob: s, T; 0: it has none

	behind bool        // it follows the soil since a moment
	at     signal.Time // of that
	shows  float64     // x0
	soil   float64     // w0
	rises  float64     // s
}

// pieces is into how many straight pieces its course is cut in the time of one constant; they then miss it by less than
// a five-thousandth of what it has still to go.
const pieces = 50

// follow takes it to a moment at which the soil stands at a water content and begins to run on with a slope.
func (l *lag) follow(at signal.Time, content, slope float64) (shows, rises float64) {
	switch {
	case l.constant == 0:
		l.behind = false
		return content, slope
	case !l.behind:
		l.behind, l.shows = true, content
	default:
		t, lag := (at - l.at).Seconds(), float64(l.rises*l.constant)
		l.shows = l.soil + float64(l.rises*t) - lag + float64((l.shows-l.soil+lag)*numeric.Exp(-t/l.constant))
	}
	l.at, l.soil, l.rises = at, content, slope
	return l.shows, (content - l.shows) / l.constant
}

// renews is when its course takes the next straight piece.
func (l *lag) renews(at signal.Time) signal.Time {
	return at + max(signal.Second, signal.FromSeconds(l.constant/pieces))
}
