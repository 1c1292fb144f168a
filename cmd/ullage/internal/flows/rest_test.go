package flows_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/cmd/ullage/internal/flows"
	"ullage/harness/sitefile"
)

func soundSite(t *testing.T, changes ...string) *sitefile.Site {
	water := strings.NewReplacer(changes...).Replace(sound)
	return read(t, water, []string{"master", "spray", "top-up", "pump"}, []string{"low", "high"}, soundSettings)
}

// At rest the pressure is that of the supply less the height (Pascal), at most what a regulator sets, and behind a pump
// that runs against what is shut the head of its curve at no flow.
func TestAtRest(t *testing.T) {
	r := of(t, soundSite(t, "name: riser, from: regulator", "name: riser, from: late", "pipes:",
		"pipes:\n  - {name: stub, from: regulator, length: 1 m, bore: 16 mm}", "  - {name: top-up,",
		"  - {name: late, from: stub, capacity: 3 m3/h, opens: 1 s, closes: 1 s, "+coil+"}\n  - {name: top-up,"))
	want := map[string]float64{"master": 4, "spray": 4, "top-up": 4, "late": 1, "nozzles": 4}
	got := map[string]float64{}
	for _, x := range r.Rest {
		got[x.Place] = float64(x.Pressure) / 1e5
	}
	for place, bar := range want {
		assert.InDelta(t, bar, got[place], 1e-6, "pressure at rest at %s", place)
	}
	high := of(t, soundSite(t, "capacity: 10 m3/h, opens", "height: 10 m, capacity: 10 m3/h, opens"))
	for _, x := range high.Rest {
		if x.Place == "spray" {
			assert.InDelta(t, 4-10*998.2*9.80665/1e5, float64(x.Pressure)/1e5, 1e-3, "10 m above the supply")
		}
	}
	require.NotNil(t, r.Longest)
	assert.Equal(t, "drip", r.Longest.To)
	assert.InDelta(t, 5+1+20*0.3, float64(r.Longest.Length), 1e-9)
}

// A zone is computed for the hour in which the supply is weakest.
func TestTheWeakestHour(t *testing.T) {
	const weak = "daily: [{from: \"06:00\", share: 100 %}, {from: \"18:00\", share: 60 %}]}]"
	nozzle := func(r *flows.Report) float64 {
		return float64(part(t, set(t, r, "spray"), "nozzles").Pressure)
	}
	asDrawn := of(t, soundSite(t))
	daily := of(t, soundSite(t, "at: 20 L/min}]", "at: 20 L/min, "+weak))
	low := of(t, soundSite(t, "static: 4 bar, residual: 3.8 bar", "static: 2.4 bar, residual: 2.2 bar"))
	assert.InDelta(t, nozzle(low), nozzle(daily), 1e-3)
	assert.Less(t, nozzle(daily), nozzle(asDrawn)-1e5)
	assert.Equal(t, "18:00", daily.Supplies[0].WeakFrom)
	assert.InDelta(t, 4e5, float64(daily.Supplies[0].Highest), 1)
}

// Ten millimetres take ten over the application rate; the water of a week is that of the starts of a programme.
func TestMinutesAndWeeks(t *testing.T) {
	spray := set(t, of(t, soundSite(t)), "spray")
	require.Len(t, spray.Beds, 1)
	flow := float64(part(t, spray, "nozzles").Flow)
	assert.InDelta(t, 0.010/(flow/10), float64(spray.Beds[0].Ten), 1e-6)
	require.Len(t, spray.Runs, 1)
	assert.Equal(t, 7, spray.Runs[0].Weekly)
}
