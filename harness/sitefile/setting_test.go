package sitefile

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSetting(t *testing.T) {
	site := mustRead(t, "tern-lane.yaml")
	for path, text := range map[string]string{
		"tanks/header-tank/starts":                  "300 mm",
		"tanks/header-tank/standpipe/crest":         "30 in",
		"pipes/main/height":                         "1 m",
		"pipes/main/fittings":                       "2.5",
		"controller/settings/fill/longest-run":      "10 min",
		"controller/settings/fill/attempts":         "5",
		"controller/settings/programmes/1/starts/2": "19:30",
		"valves/top-up/characteristic":              "linear",
		"contacts/tank-low/operates":                "200 mm ± 5 mm",
	} {
		assert.NoError(t, Setting{path, text}.Apply(site), path)
	}
	assert.NoError(t, site.Check())
	assert.Equal(t, 0.3, site.Tanks[0].Starts.SI)
	assert.Equal(t, 0.762, site.Tanks[0].Standpipe.Crest.SI)
	assert.Equal(t, 1.0, site.Valves[1].Height.SI, "sprays stand where the main ends")
	assert.Equal(t, 2.5, site.Pipes[0].Fittings)
	assert.Equal(t, 600.0, site.Controller.Settings.Fill.LongestRun.SI)
	assert.Equal(t, 5, site.Controller.Settings.Fill.Attempts)
	assert.Equal(t, []string{"06:00", "19:30"}, site.Controller.Settings.Programmes[0].Starts)
	assert.Equal(t, LinearCharacteristic, site.Valves[2].Characteristic)
	assert.Equal(t, 0.005, site.Contacts[0].Operates.Tolerance)
}

func TestSettingRefuses(t *testing.T) {
	site := mustRead(t, "fish-house-sump.yaml")
	before := leaves(site)
	for path, want := range map[string]string{
		"tank/sump/starts":                        `has no "tank" in "tank/sump/starts"; the nearest is "tanks"`,
		"tanks/sumb/starts":                       `the nearest is "sump"`,
		"tanks/sump/begins":                       `has no "begins"`,
		"tanks/sump":                              "not a single value",
		"tanks/sump/starts/now":                   `has no "now"`,
		"controller/settings/moisture/cycle":      `has no "cycle"`,
		"controller/settings/cut-off/shuts/7":     `has no "7"`,
		"controller/settings/fill/attempts":       "a whole number",
		"controller/settings/fill/debounce":       "a duration",
		"pipes/feed/fittings":                     "a number",
		"controller/settings/fill/attempts/twice": `has no "twice"`,
		"": `has no ""`,
	} {
		assert.ErrorContains(t, Setting{path, "x"}.Apply(site), want, path)
	}
	assert.Equal(t, before, leaves(site), "a refused setting has changed the site")
}
