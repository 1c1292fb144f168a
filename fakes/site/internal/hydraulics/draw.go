package hydraulics

import (
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// draws are what is taken from a tank at the same times every day.
type draws struct {
	begins  signal.Time // time of day at which the run begins: the site's clocks are right
	daily   []daily
	changes signal.Time // when what is taken changes next
}

// daily is what is taken from a tank at the same time every day.
type daily struct {
	from, to signal.Time // since midnight; from after to is over midnight
	flow     float64     // m³/s
}

func newDraws(site *sitefile.Site, tank sitefile.Tank) draws {
	_, begins, _ := sitefile.Clock(site.Controller.Settings.Clock)
	x := draws{begins: begins, changes: signal.Never}
	for _, d := range tank.Draws {
		from, _ := sitefile.TimeOfDay(d.From) // the rules of the site file have read them
		to, _ := sitefile.TimeOfDay(d.To)
		x.daily = append(x.daily, daily{from: from, to: to, flow: d.Flow.SI})
	}
	return x
}

// flow is what is due at a moment, m³/s; it sets when that changes.
func (x *draws) flow(at signal.Time) (flow float64) {
	if x.daily == nil {
		return 0
	}
	clock, next := (x.begins+at)%signal.Day, signal.Day
	for _, d := range x.daily {
		if d.due(clock) {
			flow += d.flow
		}
		for _, edge := range [...]signal.Time{d.from, d.to} {
			if wait := (edge - clock + signal.Day) % signal.Day; wait > 0 {
				next = min(next, wait)
			}
		}
	}
	x.changes = at + next
	return flow
}

// due reports whether it is the time of day for it.
func (d daily) due(clock signal.Time) bool {
	if d.from < d.to {
		return clock >= d.from && clock < d.to
	}
	return clock >= d.from || clock < d.to
}
