package sitefile

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestGaugeNumbers(t *testing.T) {
	for text, want := range map[string]int{"AWG 18": 18, "awg18": 18, " AWG 0 ": 0, "AWG 1/0": 0, "AWG 4/0": -3,
		"AWG 40": 40} {
		got, err := GaugeNumber(text)
		assert.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "18", "AWG", "AWG 41", "AWG -1", "AWG 5/0", "AWG 0/0", "AWG 1.5", "AWG 18 mm"} {
		_, err := GaugeNumber(text)
		assert.Error(t, err, text)
	}
}

// What is assumed of the supply is named by what the file leaves out, and not where it says it.
func TestAssumed(t *testing.T) {
	shipped, err := os.ReadFile("../../features/sites/otter-pool.yaml")
	require.NoError(t, err)
	for _, c := range []struct {
		power string
		names []string
	}{
		{"", []string{"an adapter of 12 V, 1 A, which gives at most 1.1 A (power: rated)",
			"a controller that draws 100 mA (power: controller-draws)"}},
		{"power: {controller-draws: 80 mA}", []string{
			"an adapter of 12 V, 1 A, which gives at most 1.1 A (power: rated)"}},
		{"power: {rated: 2 A, controller-draws: 80 mA}", nil},
		{"power: {internal-resistance: 2 ohm, controller-draws: 80 mA}", nil},
		{"power: {controller-draws: 80 mA, battery: {capacity: 2 Ah, flat: 9 V}}", nil},
	} {
		text := strings.Replace(string(shipped), "\ncontroller:\n", "\n"+c.power+"\ncontroller:\n", 1)
		site, err := Read("otter-pool.yaml", []byte(text))
		require.NoError(t, err)
		assert.Equal(t, c.names, site.Assumed(), "power: %q", c.power)
	}
}

// A coil for alternating current is written down as the meter shows it; the currents that the sheet would give stand as
// usual, and less where the resistance allows no more.
func TestAssumedCoils(t *testing.T) {
	shipped, err := os.ReadFile("../../features/sites/court-garden.yaml")
	require.NoError(t, err)
	text := strings.NewReplacer("    inrush: 410 mA\n", "", "    holding: 230 mA\n", "").Replace(string(shipped))
	for coil, want := range map[string]string{
		"20 ohm": "a coil of lawn that takes 400 mA at inrush and 200 mA held (inrush, holding)",
		"60 ohm": "a coil of lawn that takes 333.3 mA at inrush and 166.7 mA held (inrush, holding)",
	} {
		site, err := Read("court-garden.yaml", []byte(strings.ReplaceAll(text, "coil: 30 ohm", "coil: "+coil)))
		require.NoError(t, err, "what a meter shows")
		assert.Contains(t, site.Assumed(), want)
	}
	site, err := Read("court-garden.yaml", []byte(strings.ReplaceAll(text, "    current: ac\n", "")))
	require.NoError(t, err)
	assert.Contains(t, site.Assumed(), "a coil of lawn for direct current, 800 mA (current: dc, or ac)",
		"20 to 60 ohm on 24 V are usually a coil for alternating current")
	site, err = Read("court-garden.yaml", shipped)
	require.NoError(t, err)
	assert.Empty(t, site.Assumed())
}
