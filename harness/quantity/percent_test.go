package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPercent(t *testing.T) {
	for share, want := range map[float64]string{
		0.0421: "4.2 %", 0.24: "24 %", 1: "100 %", 0.000331: "0.033 %", 0: "0 %", -0.0199: "-2.0 %", 0.0997: "10 %",
		1e-9: "0 %", -1e-9: "0 %", math.Inf(1): "+Inf %",
	} {
		assert.Equal(t, want, Percent(share))
	}
}
