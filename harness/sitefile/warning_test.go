package sitefile

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWarningsAboutDiaphragmValves(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "features", "sites", "allotment-tank.yaml"))
	require.NoError(t, err)
	for _, c := range []struct{ name, old, new, warns string }{
		{"as shipped", "", "", ""},
		{"not said what moves it", "operates: pilot, opens-at: 0.3 bar, seats-at: 0.4 bar, ", "",
			`valve "top-up": a diaphragm valve without operates counts as direct`},
		{"said to be direct", "operates: pilot, opens-at: 0.3 bar, seats-at: 0.4 bar, ", "operates: direct, ", ""},
		{"a differential below the usual", "opens-at: 0.3 bar", "opens-at: 0.2 bar",
			`opens-at: 0.2 bar is little for a pilot-operated valve; expected 0.3 to 0.5 bar`},
		{"to seat", "seats-at: 0.4 bar", "seats-at: 0.29 bar", "seats-at: 0.29 bar is little"},
		{"too little pressure", "static: 2 bar, residual: 1.4 bar", "static: 0.4 bar, residual: 0.2 bar",
			`no more than 0.2864 bar ever stands across it`},
		{"a valve that needs much", "opens-at: 0.3 bar", "opens-at: 1.9 bar",
			`no more than 1.886 bar ever stands across it, and its disc asks for 1.9 bar to lift`},
	} {
		changed := strings.Replace(string(text), c.old, c.new, 1)
		require.True(t, c.old == "" || changed != string(text), "%s: the shipped site has changed", c.name)
		site, err := Read("site.yaml", []byte(changed))
		require.NoError(t, err, c.name)
		all := strings.Join(site.Warnings(), "\n")
		if c.warns == "" {
			assert.Empty(t, all, c.name)
		} else {
			assert.Contains(t, all, c.warns, c.name)
		}
	}
}

// What feeds a valve at its highest: a supply at rest, a regulator at its setting.
func TestWhatStandsBeforeAValve(t *testing.T) {
	site := mustRead(t, "tern-lane.yaml")
	// 3.6 bar, less the 600 mm of water up to the sprays
	assert.InDelta(t, 3.5413, site.stands(site.Entry("sprays").(*Valve))/1e5, 1e-4)
	assert.InDelta(t, 1, site.stands(site.Entry("drip").(*Valve))/1e5, 1e-4, "what the regulator sets")
}

// A site that breaks a rule of backflow is read, tried as it is, and warned about.
func TestWarningsAboutBackflow(t *testing.T) {
	text := string(shipped(t)["tern-lane.yaml"])
	for _, c := range []struct{ name, old, new, warns string }{
		{"a type for less", "type: BA, category: 4", "type: EA, category: 4",
			`backflow preventer "preventer": type EA protects against fluid category 2 at the most, and the use asks for category 4`},
		{"a use that asks for more", "type: BA, category: 4", "type: BA, category: 5", "asks for category 5"},
		{"an inlet that hangs too low", "air-gap: 40 mm", "air-gap: 15 mm",
			`outlet "inlet": an air gap of 15 mm is too small for a bore of`},
	} {
		require.Contains(t, text, c.old, "%s: the shipped site has changed", c.name)
		site, err := Read("site.yaml", []byte(strings.Replace(text, c.old, c.new, 1)))
		require.NoError(t, err, c.name)
		assert.Contains(t, strings.Join(site.Warnings(), "\n"), c.warns, c.name)
	}
	assert.Empty(t, mustRead(t, "tern-lane.yaml").Warnings())
}
