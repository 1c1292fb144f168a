package site_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/signal"
)

// reduced is a pipe behind a regulator that is shut by a valve.
const reduced = `site: reduced
supplies:
  - {name: mains, static: 5 bar, residual: 4.5 bar, at: 20 L/min}
regulators:
  - {name: regulator, from: mains, sets: 2 bar, capacity: 2 m3/h, locks-up-at: 2.3 bar}
pipes:
  - {name: line, from: regulator, length: 1 m, bore: 25 mm}
valves:
  - {name: valve, from: line, capacity: 3 m3/h, opens: 100 ms, closes: 100 ms, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: sprays, from: valve, count: 1, flow: 10 L/min, at: 2 bar}
`

// At rest a regulator stands at its lock-up, with a flow at what it sets, with a seat that weeps at the supply's
// pressure while nobody draws, and failed open at that of the supply less its loss.
func TestRegulatorAtRestRunningCreepingAndOpen(t *testing.T) {
	r := open(t, read(t, reduced+controllerOf([]string{"valve"}, nil)))
	at := signal.Time(0)
	bar := func(drawn bool) float64 {
		r.drive("valve", drawn)
		at += signal.Minute
		r.run(at)
		return r.at("regulator.pressure", at) / 1e5
	}
	assert.InDelta(t, 2.3, bar(false), 1e-3, "at rest")
	assert.InDelta(t, 2.0, bar(true), 1e-3, "while water runs")
	assert.InDelta(t, 2.3, bar(false), 1e-3, "at rest again")
	r.open("regulator", "held open", 0.001)
	assert.InDelta(t, 5, bar(false), 1e-3, "the seat weeps onto a closed pipe")
	assert.InDelta(t, 2.0, bar(true), 1e-3, "more is drawn than it weeps")
	r.close("regulator", "held open", 0.001)
	assert.InDelta(t, 2.3, bar(false), 1e-3, "the seat is tight again")
	r.open("regulator", "held open", 1)
	assert.InDelta(t, 5, bar(false), 1e-3, "nothing regulates")
	assert.Greater(t, bar(true), 4.0, "nothing regulates while water runs")
	r.end()
}
