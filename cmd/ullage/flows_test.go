package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFlows(t *testing.T) {
	good, err := os.ReadFile("../../features/sites/tern-lane.yaml")
	require.NoError(t, err)
	files := map[string]string{
		"mine.yaml": string(good),
		"bad.yaml": strings.Replace(
			strings.Replace(string(good), "rim: 880 mm", "rim: 780 mm", 1),
			"bore: 20.4 mm",
			"bore: 20.4 bar",
			1,
		),
		"a.feature":  broken,
		"text.yaml":  broken,
		"sub/x.yaml": string(good),
	}
	tests := []struct {
		name   string
		args   []string
		status int
		says   []string
	}{
		{
			"a shipped site",
			[]string{"tern-lane"},
			exitHeld,
			[]string{"Tern Lane", "EACH ZONE ALONE", "top-up + sprays", "! low pressure", "L/min", "CAUTIONS"},
		},
		{"a shipped site by its path", []string{"features/sites/tern-lane.yaml"}, exitHeld, []string{"Tern Lane"}},
		{"a file", []string{"mine.yaml"}, exitHeld, []string{"Tern Lane"}},
		{"US units", []string{"mine.yaml", "--units", "us"}, exitHeld, []string{"psi", "gpm", "ft/s", "gal", "in/h"}},
		{
			"a misspelt site",
			[]string{"tern-lain"},
			exitBroken,
			[]string{`there is no site "tern-lain"`, `did you mean "tern-lane"?`},
		},
		{
			"no such file",
			[]string{"mien.yaml"},
			exitBroken,
			[]string{"mien.yaml", "expected a site file, or the name of a shipped site: allotment"},
		},
		{"a feature", []string{"a.feature"}, exitBroken, []string{"a.feature is a feature file; expected a site file"}},
		{"a feature that is not there", []string{"b.feature"}, exitBroken, []string{"b.feature is a feature file"}},
		{"a feature in the clothes of a site", []string{"text.yaml"}, exitBroken, []string{"text.yaml:1:1", " error"}},
		{"a folder", []string{"sub"}, exitBroken, []string{"sub is a folder; expected a site file"}},
		{
			"a bad file",
			[]string{"bad.yaml"},
			exitBroken,
			[]string{
				`read "20.4 bar": bar measures a pressure; expected a length`,
				"expected a crest below the rim (780 mm)",
				" error",
			},
		},
		{
			"unknown units",
			[]string{"mine.yaml", "--units", "imperial"},
			exitBroken,
			[]string{`--units "imperial": expected metric or us`},
		},
		{
			"JSON in US units",
			[]string{"mine.yaml", "--units", "us", "--json"},
			exitBroken,
			[]string{"--json is always metric"},
		},
		{"no site", nil, exitBroken, []string{"expected a site file or the name of a shipped site"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.Mkdir(filepath.Join(dir, "sub"), 0o777))
			for name, text := range files {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
			}
			status, out, errOut := ullage(t, dir, append([]string{"flows"}, test.args...)...)
			assert.Equal(t, test.status, status, "%s\n%s", out, errOut)
			for _, says := range test.says {
				assert.Contains(t, out+errOut, says)
			}
		})
	}
}

// TestFlowsJSON: the figures stand under keys that name their units.
func TestFlowsJSON(t *testing.T) {
	status, out, errOut := ullage(t, t.TempDir(), "flows", "tern-lane", "--json")
	require.Equal(t, exitHeld, status, errOut)
	var r struct {
		Sets []struct {
			Name  string
			Parts []struct {
				Name     string
				Flow     float64  `json:"flow_l_per_min"`
				Pressure float64  `json:"pressure_bar"`
				Velocity *float64 `json:"velocity_m_per_s"`
			}
		}
		Tanks []struct {
			Fill struct {
				Lasts float64 `json:"lasts_s"`
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	require.NotEmpty(t, r.Sets)
	assert.Equal(t, "top-up", r.Sets[0].Name)
	mains := r.Sets[0].Parts[0]
	assert.InDelta(t, 29, mains.Flow, 4, "litres a minute")
	assert.InDelta(t, 2.4, mains.Pressure, 0.3, "bar")
	assert.InDelta(t, 480, r.Tanks[0].Fill.Lasts, 60, "seconds")
}
