package sitefile

import (
	"testing"

	"github.com/stretchr/testify/assert"
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
