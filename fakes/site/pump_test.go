package site_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
)

// pumped is a tank of 0.1 m² with a pump that lifts its water out; its water reaches the pump as the line of the
// argument says.
func pumped(from, extra string) string {
	return `site: pumped
tanks:
  - {name: tank, length: 400 mm, width: 250 mm, rim: 500 mm, starts: 150 mm}
` + extra + `
pumps:
  - {name: pump, from: ` + from + `, curve: [{flow: 0 L/min, head: 24 m}, {flow: 20 L/min, head: 12 m}], dry-below: 60 mm, pull-in: 8 V, drop-out: 3 V, coil: 60 ohm}
outlets:
  - {name: nozzle, from: pump, height: 2 m, flow: 10 L/min, at: 1 bar}
` + controllerOf([]string{"pump"}, nil)
}

func TestPumpRunsDryAndPrimesAgain(t *testing.T) {
	for name, text := range map[string]string{
		"from the tank": pumped("tank", ""),
		"through a suction line": pumped("suction line",
			"pipes:\n  - {name: suction line, from: tank, length: 1 m, bore: 32 mm}\n"),
	} {
		t.Run(name, func(t *testing.T) {
			r := open(t, read(t, text))
			r.drive("pump", true)
			r.run(3 * signal.Minute)
			r.site.Close()
			assert.Equal(t, 1.0, r.last("pump.dry"), "the pump must draw air below 60 mm")
			assert.Equal(t, 1.0, r.last("pump.running"), "a pump that draws air still runs")
			assert.Zero(t, r.last("pump.flow"), "a pump that draws air gives no water")
			assert.InDelta(t, 0.060, r.last("tank.level"), 1e-9, "the pump lets go of the water at its dry level")
			began := r.changes("pump.dry", 1)[0]

			r.open("tank", "inflow", 1e-4) // 1 mm/s
			r.run(4 * signal.Minute)
			r.drive("pump", false)
			r.end()
			dry := r.changes("pump.dry", 0)
			require.GreaterOrEqual(t, len(dry), 2, "the pump must find its water again")
			assert.InDelta(t, 0.070, r.at("tank.level", dry[1]), 1e-6, "the pump draws again 10 mm above its dry level")
			assert.InDelta(t, (3*signal.Minute + 10*signal.Second - began).Seconds(), (dry[1] - began).Seconds(), 1e-3,
				"time that the pump ran dry")
			out, err := r.site.Balance(r.trace)
			require.NoError(t, err)
			assert.InDelta(t, 0, out, 1e-6)
		})
	}
}

// After it has drawn air a pump is filled again: by the water that floods its suction, or by itself while it runs.
func TestPumpsThatMustBePrimed(t *testing.T) {
	for _, c := range []struct {
		name, keys string
		running    bool        // once the tank has been filled
		level      float64     // to which the tank is filled at 1 mm/s after it was empty
		after      signal.Time // it is primed, from when the water begins to rise; Never when it is not
	}{
		{"flooded deep enough", "primes-in: 30 s, floods-above: 120 mm", true, 0.2, 90 * signal.Second},
		{"not flooded deep enough", "primes-in: 30 s, floods-above: 120 mm", true, 0.1, signal.Never},
		{"self-priming, running", "priming: self, primes-in: 30 s", true, 0.1, 70 * signal.Second},
		{"self-priming, standing", "priming: self, primes-in: 30 s", false, 0.1, signal.Never},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := open(t, read(t, strings.Replace(pumped("tank", ""), "dry-below: 60 mm,",
				"dry-below: 60 mm, "+c.keys+",", 1)))
			assert.Equal(t, 1.0, r.last("pump.primed"), "a run begins with the pump full")
			r.drive("pump", true)
			r.run(3 * signal.Minute)
			assert.Equal(t, 0.0, r.last("pump.primed"), "it has drawn air")
			r.drive("pump", false)
			rises := r.now
			r.open("tank", "inflow", 1e-4)
			r.run(rises + signal.FromSeconds((c.level-0.06)/1e-3))
			r.close("tank", "inflow", 1e-4)
			full := r.now
			r.drive("pump", c.running)
			r.run(full + 40*signal.Second)
			r.end()
			primed := r.changes("pump.primed", 1)[1:]
			gave := r.last("tank.level") < r.at("tank.level", full)-0.01
			if c.after == signal.Never {
				assert.Empty(t, primed, "nothing has filled the pump")
				assert.False(t, gave, "a pump that is not primed gives no water")
				assert.Equal(t, c.running, r.last("pump.dry") == 1, "while it runs it runs dry")
				return
			}
			require.NotEmpty(t, primed, "the pump must fill")
			assert.InDelta(t, c.after.Seconds(), (primed[0] - rises).Seconds(), 1e-3, "the time until it is filled")
			assert.True(t, gave, "a pump that is primed gives water")
		})
	}
}

// The operating point: pump curve head = 24 - 12 (q/20)², against 2 m of height and the nozzle's pressure.
func TestPumpWorksWhereItsCurveMeetsTheNozzle(t *testing.T) {
	r := open(t, read(t, pumped("tank", "")))
	r.drive("pump", true)
	r.run(5 * signal.Second)
	r.end()
	q := r.at("nozzle.flow", 5*signal.Second)
	perMetre := 998.2 * 9.80665
	lift := 24 - 12*(q/(20*litrePerMinute))*(q/(20*litrePerMinute))
	suction := (q * 3600 / 20) * (q * 3600 / 20) * 1e5 / perMetre
	nozzle := 1e5 / perMetre * (q / (10 * litrePerMinute)) * (q / (10 * litrePerMinute))
	assert.InDelta(t, r.at("tank.level", 5*signal.Second)+lift-suction-2, nozzle, 1e-4,
		"heads do not add up along the pump")
}

// A standing pump is a hole in the wall: water runs through it to whatever lies lower than the level, down to the level
// at which the suction draws air.
func TestStandingPumpSiphonsDownToItsDryLevel(t *testing.T) {
	r := open(t, read(t, `site: siphon
tanks:
  - {name: tank, floor: 1 m, length: 400 mm, width: 250 mm, rim: 500 mm, starts: 150 mm}
pumps:
  - {name: pump, from: tank, curve: [{flow: 0 L/min, head: 24 m}, {flow: 20 L/min, head: 12 m}], dry-below: 60 mm, pull-in: 8 V, drop-out: 3 V, coil: 60 ohm}
pipes:
  - {name: hose, from: pump, length: 3 m, bore: 12 mm, height: 100 mm}
outlets:
  - {name: end, from: hose, bore: 8 mm}
`+controllerOf([]string{"pump"}, nil)))
	r.run(signal.Hour)
	r.end()
	assert.Positive(t, r.at("end.flow", signal.Second), "water must run down through a standing pump")
	assert.InDelta(t, 0.060, r.last("tank.level"), 1e-9, "the siphon breaks where the suction draws air")
	assert.Zero(t, r.last("pump.dry"), "a pump that stands does not run dry")
}

// A mains that is shut off stands empty: it gives nothing to what lies lower, and a pump behind it draws air.
func TestMainsThatIsOffGivesNothing(t *testing.T) {
	r := open(t, read(t, `site: on the slope
supplies:
  - {name: mains, static: 1.5 bar, residual: 1 bar, at: 30 L/min, height: 5 m}
pumps:
  - {name: booster, from: mains, curve: [{flow: 0 L/min, head: 30 m}, {flow: 20 L/min, head: 20 m}], primes-in: 20 s, pull-in: 8 V, drop-out: 3 V, coil: 60 ohm}
outlets:
  - {name: sprays, from: booster, count: 6, flow: 2 L/min, at: 2 bar, height: 6 m}
  - {name: trough, from: mains, bore: 6 mm, height: 1 m}
`+controllerOf([]string{"booster"}, nil)))
	r.drive("booster", true)
	r.run(signal.Minute)
	assert.Positive(t, r.last("sprays.flow"))
	assert.Positive(t, r.last("trough.flow"))
	r.open("mains", "pressure factor", 0)
	r.run(2 * signal.Minute)
	assert.Zero(t, r.last("sprays.flow"), "the booster draws water out of an empty mains")
	assert.Zero(t, r.last("trough.flow"), "water runs down out of an empty mains")
	assert.Zero(t, r.last("mains.flow"))
	assert.Zero(t, r.last("mains.pressure"), "the mains stands open to the air")
	assert.EqualValues(t, 1, r.last("booster.dry"), "the booster runs without water")
	r.close("mains", "pressure factor", 0)
	r.run(2*signal.Minute + 19*signal.Second)
	assert.Positive(t, r.last("trough.flow"), "the water is back")
	assert.Zero(t, r.last("sprays.flow"), "the booster has air in it for 20 s more")
	r.run(3 * signal.Minute)
	r.end()
	assert.Positive(t, r.last("sprays.flow"))
	assert.Zero(t, r.last("booster.dry"))
}
