package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// recovers is by how much a supply must come back before latching valves are opened again: a battery that is relieved
// of its load recovers a little by itself (common practice, no source).
const recovers = 1.05

// keepsCharge shuts latching valves while the supply may yet suffice for it, and opens none when it would soon not.
type keepsCharge struct {
	board   *board
	alerts  alerter
	ban     *ban
	below   float64     // V
	changes signal.Time // when a sloping supply crosses the limit
}

func (r *keepsCharge) reset(now signal.Time) {
	r.ban.set(false)
	r.plan(now)
}

func (r *keepsCharge) wake() signal.Time { return r.changes }

// low reports whether the supply is too low at a moment.
func (r *keepsCharge) low(at signal.Time) bool {
	limit := r.below
	if r.ban.on {
		limit *= recovers
	}
	return r.board.supplyVolts(at) < limit
}

func (r *keepsCharge) plan(now signal.Time) {
	low := r.low(now)
	r.changes = crossing(r.board.supply(), now, func(t signal.Time) bool { return r.low(t) != low })
}

func (r *keepsCharge) step(now signal.Time) {
	low := r.low(now)
	if low && !r.ban.on {
		r.alerts.raise(harness.AlertLowBattery)
	}
	r.ban.set(low)
	r.plan(now)
}
