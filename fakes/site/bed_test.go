package site_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/site"
	"ullage/harness/signal"
)

// trough is a bed of 10 m² under a valve, with what else its entry and its probe's say.
func trough(bed, probe string) string {
	return fmt.Sprintf(`site: Trough
supplies:
  - {name: mains, static: 3 bar, residual: 2.5 bar, at: 20 L/min}
valves:
  - {name: valve, from: mains, capacity: 3 m3/h, opens: 500 ms, closes: 1.5 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: rose, from: valve, count: 10, flow: 0.5 L/min, at: 2 bar, onto: bed}
beds:
  - {name: bed, area: 10 m2, depth: 200 mm, %s}
probes:
  - {name: probe, in: bed, %s dry: {moisture: 5 %%, volts: 2.3 V}, wet: {moisture: 45 %%, volts: 1.1 V}}
`, bed, probe) + controllerOf([]string{"valve"}, nil)
}

const moist = "texture: sandy loam, starts: 20 %, evapotranspiration: 0 mm/day"

// watered waters a trough for ten minutes and waits.
func watered(t *testing.T, bed, probe string, until signal.Time) *rig {
	r := open(t, read(t, trough(bed, probe)))
	r.drive("valve", true)
	r.run(10 * signal.Minute)
	r.drive("valve", false)
	r.run(until)
	r.end()
	return r
}

func TestProbeFeelsItsDepthAndPlace(t *testing.T) {
	hour := 2 * signal.Hour
	shallow := watered(t, moist, "depth: 30 mm,", hour)
	deep := watered(t, moist, "depth: 170 mm,", hour)
	assert.Equal(t, shallow.last("bed.moisture"), deep.last("bed.moisture"), "where the probe stands changes the bed")
	assert.Greater(t, shallow.last("probe.moisture"), 0.24, "the water has not come to a shallow probe")
	assert.InDelta(t, deep.at("probe.moisture", 0), deep.last("probe.moisture"), 5e-3,
		"the water is at a deep probe already")

	dry := watered(t, moist, "depth: 30 mm, wetting: 10 %,", hour)
	assert.Equal(t, shallow.last("bed.water"), dry.last("bed.water"),
		"the spot of a probe counts in the water of the bed")
	assert.InDelta(t, dry.at("probe.moisture", 0), dry.last("probe.moisture"), 0.02,
		"a probe beside the wetted ground gets wet")
	assert.Less(t, dry.last("probe.moisture"), shallow.last("probe.moisture")-0.03,
		"it makes no difference what falls beside the probe")
}

func TestNozzleBesideTheProbeClogs(t *testing.T) {
	r := open(t, read(t, trough(moist, "depth: 30 mm,")))
	r.run(signal.Hour)
	r.open("probe", "wetting", 0)
	r.drive("valve", true)
	r.run(signal.Hour + 10*signal.Minute)
	assert.InDelta(t, r.at("probe.moisture", 0), r.last("probe.moisture"), 2e-3,
		"nothing falls beside the probe, and it gets wet")
	r.close("probe", "wetting", 0)
	r.run(signal.Hour + 20*signal.Minute)
	assert.Greater(t, r.last("probe.moisture"), r.at("probe.moisture", 0)+0.03,
		"the nozzle is clear again, and the probe stays dry")
	out, err := site.Balance(r.spec, r.end())
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-9, "the water does not balance")
}

// What falls is what has been stored, when nothing dries or drains: to rounding, though the soil's steps are not the
// water's.
func TestBedTakesWhatFalls(t *testing.T) {
	r := watered(t, moist, "", signal.Hour)
	id, _ := r.trace.Find("rose.flow")
	fell := 0.0
	for c, i := r.trace.Column(id), 1; i < len(c.At); i++ {
		fell += (c.At[i] - c.At[i-1]).Seconds() * (c.Value[i] + c.Value[i-1]) / 2
	}
	assert.InDelta(t, 60e-3, fell, 5e-3, "ten minutes of the rose")
	assert.InDelta(t, fell, r.last("bed.water")-r.at("bed.water", 0), 1e-10, "m³ stored")
	assert.InDelta(t, fell/10/0.2, r.last("bed.moisture")-r.at("bed.moisture", 0), 1e-10,
		"gain of the mean water content")
	assert.Zero(t, r.last("bed.lost"), "water is lost from a bed that could hold twice as much")
}

func TestRainFallsOnABed(t *testing.T) {
	r := open(t, read(t, trough(moist, "")))
	r.open("bed", "rain", 5e-3/3600)
	r.run(2 * signal.Hour)
	r.close("bed", "rain", 5e-3/3600)
	r.run(3 * signal.Hour)
	assert.InDelta(t, 10e-3*10, r.last("bed.water")-r.at("bed.water", 0), 1e-9, "10 mm of rain on 10 m²")
}

func TestCloudburstRunsOffAFullBedDrains(t *testing.T) {
	r := open(t, read(t, trough("texture: clay loam, starts: 38 %, evapotranspiration: 0 mm/day, ponds: 4 mm", "")))
	r.open("bed", "rain", 60e-3/3600)
	r.run(signal.Hour)
	r.close("bed", "rain", 60e-3/3600)
	r.run(signal.Day)
	assert.Greater(t, r.last("bed.lost"), 0.4, "m³ of 0.6 that clay loam cannot hold")
	assert.Equal(t, r.last("bed.lost"), r.last("site.lost"), "the site loses what its only bed loses")
	id, _ := r.trace.Find("site.lost")
	for c, i := r.trace.Column(id), 1; i < len(c.Value); i++ {
		require.GreaterOrEqual(t, c.Value[i], c.Value[i-1], "what is lost comes back at %v", c.At[i])
	}
}

func TestEvapotranspirationFollowsTheDay(t *testing.T) {
	const uccle = "weather: {day-of-year: 187, latitude: 50.8, altitude: 100 m, warmest: 21.5 C, coldest: 12.3 C, wind: 10 km/h, wind-at: 10 m, sunshine: 9.25 h, humidity: 70.55 %, crop-coefficient: 1.1}"
	for name, c := range map[string]struct {
		asks string
		want float64 // mm on the first day
	}{
		"a mean":       {"evapotranspiration: 4 mm/day", 4},
		"weather":      {uccle, 1.1 * 3.88},
		"from another": {uccle + ", cover: 50 %", 1.1 * 3.88},
	} {
		r := open(t, read(t, trough("texture: loam, starts: 32 %, "+c.asks, "")))
		r.run(signal.Day)
		r.end()
		at := func(h int) float64 { return r.at("bed.evaporated", signal.Time(h)*signal.Hour) / 10 * 1000 }
		assert.InDelta(t, c.want, at(24), 0.03, "%s: mm in a day", name)
		assert.Zero(t, at(3), "%s: plants transpire at night", name)
		assert.InDelta(t, at(24)/2, at(12), 0.01, "%s: half of it until noon", name)
	}
}

func TestBedThatBeginsDrierThanItCanBe(t *testing.T) {
	_, err := site.New(read(t, trough("texture: clay, starts: 15 %, evapotranspiration: 5 mm/day", "")))
	assert.ErrorContains(t, err, `bed "bed" starts with 15 % of water; expected at least 22`)
}

// A twin that is asked at many moments gives the same trace: the soil's steps do not depend on who looks.
func TestLookingAtABedChangesNothing(t *testing.T) {
	course := func(every signal.Time) *signal.Trace {
		r := open(t, read(t, trough(moist, "depth: 50 mm, wetting: 150 %,")))
		for _, act := range []struct {
			at signal.Time
			on bool
		}{{signal.Minute, true}, {9 * signal.Minute, false}, {40 * signal.Minute, true}, {44 * signal.Minute, false}} {
			for r.now < act.at {
				r.advance(min(act.at, r.now+every, max(r.now, r.site.Next())))
			}
			r.drive("valve", act.on)
		}
		r.run(2 * signal.Hour)
		return r.end()
	}
	same(t, course(signal.Hour), course(170*signal.Millisecond), "a bed that is looked at")
}
