package sitefile

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"ullage/harness/signal"
)

func TestDefaults(t *testing.T) {
	site := mustRead(t, "small.yaml")
	assert.Equal(t, DefaultRoughness, site.Pipes[0].Roughness.SI)
	assert.False(t, site.Pipes[0].Roughness.IsSet(), "a default passes for written")
	assert.Equal(t, LinearCharacteristic, site.Valves[0].Characteristic)
	assert.Equal(t, 1, site.Outlets[0].Count)
	assert.Equal(t, DefaultExponent, site.Outlets[0].Exponent)
	assert.Equal(t, DefaultExponent, site.Laterals[0].Exponent)
	assert.Equal(t, DefaultSource, site.Probes[0].Source.SI)
	assert.Equal(t, DefaultJoins, site.WiFi.Joins.SI)
	assert.Equal(t, DefaultLossSeen, site.WiFi.LossSeen.SI)
	assert.Equal(t, DefaultRoundTrip, site.WiFi.RoundTrip.SI)
	assert.Equal(t, DefaultClock, site.Controller.Settings.Clock)
	assert.Equal(t, 3.0, mustRead(t, "fish-house-sump.yaml").WiFi.Joins.SI, "a default replaces what was written")
}

func TestHeightsAreInherited(t *testing.T) {
	site := mustRead(t, "tern-lane.yaml")
	assert.Equal(t, 2.52, site.Outlets[1].Height.SI, "the inlet is as high as the riser")
	assert.Equal(t, 0.0, site.Meters[0].Height.SI, "the supply is at the datum")
	assert.Equal(t, 1.6, site.Pumps[0].Height.SI, "the pump is as high as the floor of its tank")
	assert.Equal(t, 1.6, site.Laterals[0].Height.SI)
}

func TestDevices(t *testing.T) {
	devices := mustRead(t, "rooftop-planters.yaml").Devices()
	assert.Equal(t, []Device{{"riser", "pipe"}, {"drip header", "pipe"}, {"non-return", "non-return valve"},
		{"filter", "filter"},
		{"regulator", "regulator"}, {"pump", "pump"}, {"cistern", "tank"}, {"drip lines", "lateral"}, {"planters",
			"bed"},
		{"cistern-low", "contact"}, {"planter-probe", "probe"}}, devices)
}

func TestClock(t *testing.T) {
	day, at, err := Clock("Friday 23:59")
	assert.NoError(t, err)
	assert.Equal(t, time.Friday, day)
	assert.Equal(t, 24*signal.Hour-signal.Minute, at)
	for _, text := range []string{"", "Friday", "23:59", "Friday 24:00", "friday 10:00", "Friday  10:00", "Friday 1:00",
		"Friday 10:60"} {
		_, _, err := Clock(text)
		assert.Error(t, err, text)
	}
}
