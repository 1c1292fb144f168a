package survey_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/cmd/ullage/internal/survey"
	"ullage/harness/sitefile"
)

func TestTanks(t *testing.T) {
	tests := []struct {
		written   string
		area, rim float64 // m², m
	}{
		{"1000 x 500 x 880 mm", 0.5, 0.88}, {"1000x500x880mm", 0.5, 0.88}, {"1 m x 0.5 m x 880 mm", 0.5,
			0.88}, {"1000 × 500 × 880 mm", 0.5, 0.88},
		{"1 m by 500 mm by 880 mm", 0.5, 0.88}, {"1000 mm long, 500 mm wide, 880 mm high", 0.5,
			0.88}, {"diameter 1.1 m x 1.25 m high", 0.950332, 1.25},
		{"1.1 m diameter, 1.25 m tall", 0.950332, 1.25}, {"ø 1100 x 1250 mm", 0.950332, 1.25}, {"440 L, 880 mm high",
			0.5, 0.88}, {"0.44 m3, 880 mm", 0.5, 0.88},
		{"55 gallon drum, 34 in", 0.241082, 0.8636},
	}
	for _, test := range tests {
		answers, err := survey.Collect(survey.Given{"tank": {test.written}}, nil)
		require.NoError(t, err, test.written)
		assert.InEpsilon(t, test.area, answers.Tank.Area(), 5e-4, "the area of %s", test.written)
		assert.InDelta(t, test.rim, answers.Tank.Rim, 1e-9, "the rim of %s", test.written)
	}
	for _, written := range []string{"big", "1000", "1000 x 500 mm", "1000 x 500 x 880", "400 L", "1 x 2 x 3 x 4 m",
		"0 x 500 x 880 mm", "-1 x 1 x 1 m", "1,5 m x 1 m x 1 m", "500 m x 1 m x 1 m",
		"diameter 1 m", "x x x", "400 L, 880", "1 m x 1 m x 10 mm"} {
		_, err := survey.Collect(survey.Given{"tank": {written}}, nil)
		assert.ErrorContains(t, err, "--tank: ", "%q was taken", written)
	}
}

// Each kind of overflow is drawn as it is, with the pipe behind it.
func TestKindsOfOverflow(t *testing.T) {
	for answer, check := range map[string]func(*testing.T, sitefile.Tank){
		"standpipe 800 mm, 40 mm bore, 3 m, falls 1.5 m": func(t *testing.T, tank sitefile.Tank) {
			assert.InDelta(t, 0.8, tank.Standpipe.Crest.SI, 1e-9)
			assert.InDelta(t, 3, tank.Standpipe.Run.SI, 1e-9)
			assert.InDelta(t, 1.5, tank.Standpipe.Fall.SI, 1e-9)
		},
		"side outlet at 790 mm, 36 mm bore, 2 m, falls 100 mm": func(t *testing.T, tank sitefile.Tank) {
			assert.False(t, tank.Standpipe.Crest.IsSet())
			assert.InDelta(t, 0.79, tank.SideOutlet.Invert.SI, 1e-9)
			assert.InDelta(t, 0.036, tank.SideOutlet.Bore.SI, 1e-9)
			assert.InDelta(t, 2, tank.SideOutlet.Run.SI, 1e-9)
			assert.InDelta(t, 0.1, tank.SideOutlet.Fall.SI, 1e-9)
		},
		"notch 800 mm, 100 mm wide": func(t *testing.T, tank sitefile.Tank) {
			assert.InDelta(t, 0.8, tank.Weir.Crest.SI, 1e-9)
			assert.InDelta(t, 0.1, tank.Weir.Width.SI, 1e-9)
		},
	} {
		t.Run(answer, func(t *testing.T) { check(t, made(t, given("overflow", answer)).Site.Tanks[0]) })
	}
	_, err := survey.Collect(given("overflow", "800 mm, 40 mm pipe"), nil)
	assert.ErrorContains(t, err, "its kind is missing: a pipe through the wall carries far less than a standpipe")
}
