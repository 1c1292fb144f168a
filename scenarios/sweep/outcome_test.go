package sweep

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/accuracy"
	"ullage/harness/sitefile"
)

// Pipes are sold by their standard dimension ratio, outer diameter over wall, and by the pressure that they are made
// for. The pairs are those of the trade, which rounds to the next step of pressure.
func TestNominalPressure(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "pressure that a pipe is made for (`ullage sweep`)",
		Equation: "p = 2 σ e / (d - e), σ by ISO 12162",
		Source:   "classes of pipes of PE 80 by ISO 4427-2 and of PVC-U by ISO 1452-2, SDR 7.4 to 21 (from memory)", Tolerance: 0.03})
	for _, x := range []struct {
		material sitefile.Material
		ratio    float64
		bar      float64
	}{
		{sitefile.Polyethylene, 17, 8}, {sitefile.Polyethylene, 13.6, 10}, {sitefile.Polyethylene, 11,
			12.5}, {sitefile.Polyethylene, 7.4, 20},
		{sitefile.PVC, 21, 10}, {sitefile.PVC, 13.6, 16},
	} {
		var p sitefile.Pipe
		const wall = 2e-3
		p.Material, p.Wall.SI, p.Bore.SI = x.material, wall, (x.ratio-2)*wall
		c.Near(x.bar*1e5, nominalPressure(p), "%s of SDR %g, Pa", x.material, x.ratio)
	}
}

// The longest runs of what an output runs for add up where several can hand it on, and the longest counts where one
// rule or another starts the same.
func TestLongestRun(t *testing.T) {
	var s sitefile.Settings
	s.Fill = &sitefile.Fill{Valve: "top-up", With: []string{"master"}}
	s.Fill.LongestRun.SI = 1500
	s.Moisture = &sitefile.Moisture{Zone: "sprays", With: []string{"master"}}
	s.Moisture.Cycle.SI = 360
	s.Remote = &sitefile.Remote{Zones: []sitefile.RemoteZone{{Zone: "sprays", With: []string{"master"}}}}
	s.Remote.LongestRun.SI = 900
	for output, want := range map[string]float64{"top-up": 1500, "sprays": 900, "master": 2400, "drip": 0} {
		assert.Equal(t, want, longestRun(s, output), output)
	}
}
