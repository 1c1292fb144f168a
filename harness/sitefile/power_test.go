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
