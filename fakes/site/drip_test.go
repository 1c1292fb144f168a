package site_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/accuracy"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// dripped is a bed with a drip line and two probes, one where its water falls and one beside that.
func dripped(wets string) string {
	return `site: dripped
supplies:
  - {name: mains, static: 3 bar, residual: 2 bar, at: 30 L/min}
meters:
  - {name: meter, from: mains, capacity: 4 m3/h, per-pulse: 500 mL}
valves:
  - {name: drip, from: meter, capacity: 2 m3/h, opens: 1 s, closes: 1 s, pull-in: 8 V, drop-out: 3 V, coil: 40 ohm}
laterals:
  - {name: line, from: drip, lines: 2, emitters: 20, spacing: 300 mm, bore: 13.6 mm, flow: 2 L/h, at: 1 bar, exponent: 0.05, onto: bed` + wets + `}
beds:
  - {name: bed, area: 10 m2, depth: 300 mm, texture: sandy loam, starts: 15 %, evapotranspiration: 0 mm/day}
probes:
  - {name: inside, in: bed, depth: 60 mm, dry: {moisture: 5 %, volts: 2.3 V}, wet: {moisture: 45 %, volts: 1.1 V}}
  - {name: outside, in: bed, stands: beside, depth: 60 mm, dry: {moisture: 5 %, volts: 2.3 V}, wet: {moisture: 45 %, volts: 1.1 V}}
` + controllerOf([]string{"drip"}, nil)
}

// Water of drip lines falls on a share of the bed: a probe in it sees it early, one beside it never, and what the bed
// gains over its whole area is what has come.
func TestDripWetsAShare(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "water of a bed of which drip wets a share",
		Equation: "water content where it falls and beside, by their shares; what has come", Source: "the balance, by hand", Tolerance: 1e-6})
	for _, share := range []string{", wets: 20 %", ", wets: 50 %", ""} {
		r := open(t, read(t, dripped(share)))
		before, beside := r.last("inside.moisture"), r.last("outside.moisture")
		water := r.last("bed.water")
		r.put("drip", 12)
		r.run(2 * signal.Hour)
		r.put("drip", 0)
		r.run(r.now + signal.Minute)
		r.end()
		assert.Greater(t, r.last("inside.moisture"), before+0.01, "a probe in the wetted share %q feels it", share)
		assert.InDelta(t, beside, r.last("outside.moisture"), 1e-6, "one beside it does not, %q", share)
		came := r.last("meter.volume") + water
		c.Near(came, r.last("bed.water")+r.last("bed.lost"), "m³, %q", share)
	}
}

func TestWettedDiameters(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "width that the water of an emitter wets",
		Equation: "0.031 V^0.22 (K/q)^-0.17", Source: "Schwartzman and Zur 1986 (from memory), worked out apart from this program", Tolerance: 1e-4})
	// sandy loam of 106.1 cm/day, clay of 4.8 cm/day; L, L/h, m
	for _, k := range []struct{ water, flow, conductivity, want float64 }{
		{2, 2, 1.228e-5, 0.27772}, {4, 4, 1.228e-5, 0.36392}, {2, 2, 5.556e-7, 0.47006},
	} {
		c.Near(k.want, sitefile.WettedDiameter(k.water/1e3, k.flow/3600e3, k.conductivity), "%g L at %g L/h", k.water, k.flow)
	}
}
