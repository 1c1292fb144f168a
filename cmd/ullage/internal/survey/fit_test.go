package survey_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/cmd/ullage/internal/survey"
	"ullage/fakes/accuracy"
	"ullage/fakes/pipework"
	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// given are good answers; further ones replace or add to them, and an empty one takes an answer away.
func given(further ...string) survey.Given {
	g := survey.Given{
		"static": {
			"3.6 bar",
		}, "bucket": {"10 L in 20 s"}, "residual": {"2.4 bar"}, "pipe": {"25 mm SDR 11"}, "length": {"28 m"}, "rise": {"0.5 m"},
		"valves": {"top-up 3/4 in, sprays 1 in"}, "feeds": {"top-up: tank, 4 m of 20 mm PE",
			"sprays: 8 sprays of 2.1 L/min at 2 bar, 6 m, rises 0.6 m"},
		"tank": {
			"1000 x 500 x 880 mm",
		}, "overflow": {"standpipe 800 mm, 40 mm pipe"}, "floor": {"1.6 m"}, "floats": {"low 250 mm, high 720 mm, spill 770 mm"}, "volts": {"12 V"},
	}
	for i := 0; i < len(further); i += 2 {
		if delete(g, further[i]); further[i+1] != "" {
			g[further[i]] = []string{further[i+1]}
		}
	}
	return g
}

func made(t testing.TB, g survey.Given) *survey.Made {
	answers, err := survey.Collect(g, nil)
	require.NoError(t, err)
	m, err := survey.Make(answers, "A site")
	require.NoError(t, err)
	return m
}

// flows solves a site with one valve open, and returns what comes out of an outlet in m³/s.
func flows(t testing.TB, s *sitefile.Site, valve, outlet string) float64 {
	plan, err := pipework.New(s)
	require.NoError(t, err)
	solver, err := plan.Network.Compile()
	require.NoError(t, err)
	for _, v := range s.Valves {
		if v.Name == valve {
			solver.SetKv(plan.Links[valve], v.Capacity.SI)
		}
	}
	require.NoError(t, solver.Solve())
	return solver.Outflow(plan.Outlets[outlet][0])
}

// known is a site whose fittings are known: what the answers give without a fill time, with another loss.
func known(t testing.TB, g survey.Given, fittings float64) *sitefile.Site {
	s := made(t, g).Site
	s.Pipes[0].Fittings = fittings
	return s
}

const fillVolume = 1.0 * 0.5 * 0.47 // m³, from low to high in the tank of given

// The readings of a known site give that site back: the fill time, which was fitted, and the sprays, which were not.
func TestFitRecoversAKnownSite(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "fit of a site to its readings",
		Equation: "residual and loss of fittings by halving on the solved network",
		Source:   "flows, fill time and loss of known sites, solved, the time read to a tenth of a second; recomputed", Tolerance: 0.01})
	for _, pipe := range []string{"25 mm SDR 11", "3/4 in PVC schedule 40", "32 mm PE"} {
		for _, fittings := range []float64{3, 8, 25} {
			g := given("pipe", pipe)
			site := known(t, g, fittings)
			fill := fillVolume / flows(t, site, "top-up", "inlet")
			g["fill-time"] = []string{fmt.Sprintf("%.1f s", fill)}
			fitted := made(t, g)
			require.Empty(t, doubts(fitted), "the readings of a sound site were doubted")
			what := fmt.Sprintf("of %s with K %g", pipe, fittings)
			check.Near(fill, fillVolume/flows(t, fitted.Site, "top-up", "inlet"), "the fill time %s", what)
			check.Near(flows(t, site, "sprays", "sprays outlets"), flows(t, fitted.Site, "sprays", "sprays outlets"),
				"the flow of the sprays %s", what)
			assert.InEpsilon(t, fittings, fitted.Site.Pipes[0].Fittings, 0.05, "the loss of the fittings %s", what)
		}
	}
}

// doubts are those that say that readings do not fit.
func doubts(m *survey.Made) (list []string) {
	for _, d := range m.Doubts {
		if !strings.HasPrefix(d, "DANGER") {
			list = append(list, d)
		}
	}
	return list
}

// The whole stand, controller and valve strokes included, fills in the time that was fitted.
func TestStandFillsInTheTimeThatWasFitted(t *testing.T) {
	m := made(t, given("fill-time", "6 min 30 s"))
	require.Empty(t, doubts(m))
	build := stand.Builder(func(string) (*sitefile.Site, error) { return m.Site, nil }, stand.Simulated())
	script := &harness.Script{Name: "a fill", Site: "a", End: harness.Moment{Plus: signal.Hour},
		Start: []sitefile.Setting{{Path: "tanks/tank/starts", Text: "250 mm"}}}
	st, err := build(context.Background(), script)
	require.NoError(t, err)
	r, err := st.Run(context.Background(), script)
	require.NoError(t, err)
	id, _ := r.Trace.Find("tank.level")
	column := r.Trace.Column(id)
	var full signal.Time
	for i, level := range column.Value {
		if level >= 0.720-1e-6 && full == 0 {
			full = column.At[i]
		}
	}
	assert.InDelta(t, 390, full.Seconds(), 6, "the fill took %s", quantity.Format(full.Seconds(), quantity.Duration))
}

func TestContradictions(t *testing.T) {
	tests := []struct {
		name    string
		further []string
		says    string
	}{
		{"the mains cannot", []string{"fill-time", "2 min", "pipe", "63 mm PE", "feeds", ""},
			"with no pipe at all. Repeat the bucket"},
		{"the pipe cannot", []string{"fill-time", "4 min", "residual", "3.5 bar", "bucket", "60 L/min", "pipe",
			"16 mm drip pipe"}, "Look at the trade sizes of the pipes first"},
		{"both together cannot", []string{"fill-time", "4 min 45 s", "feeds", ""}, "without a single fitting, give"},
		{"something throttles", []string{"fill-time", "12 min"}, "Something throttles"},
		{"too slow for anything", []string{"fill-time", "11 h"}, "even with the fittings nearly shut"},
		{"more than the tap passes", []string{"static", "1 bar", "residual", "", "bucket", "60 L/min"},
			"a larger tap would explain it"},
		{"high above the overflow", []string{"overflow", "standpipe 700 mm, 40 mm"}, "every fill runs away before it ends"},
		{"spill above the overflow", []string{"overflow", "standpipe 750 mm, 40 mm"},
			"it sees water only when the overflow cannot carry it"},
		{"drippers at the mains", []string{"feeds", "sprays: 20 drippers of 2 L/h"},
			"A regulator usually holds 1 to 1.5 bar"},
		{"no overflow", []string{"overflow", "none"}, "no overflow"},
		{"no spill float", []string{"floats", "low 250 mm, high 720 mm"}, "no spill float"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m := made(t, given(test.further...))
			assert.Contains(t, strings.Join(m.Doubts, "\n"), test.says)
			assert.Contains(t, strings.Join(strings.Fields(strings.ReplaceAll(string(m.Text), "\n#", " ")), " "),
				strings.Join(strings.Fields(test.says), " "), "the file must say it too")
		})
	}
}

// A fill that differs from the computed one by less than bucket, gauge, watch and rule may err contradicts nothing.
func TestReadingsMayErr(t *testing.T) {
	m := made(t, given("fill-time", "5 min 30 s", "feeds", ""))
	assert.Empty(t, doubts(m))
	require.Len(t, m.Says, 1)
	assert.Regexp(t, `^The fill time agrees: it is off by 4\.\d %.* may be off by 5\.\d %\.$`, m.Says[0])
}

// Without the pressure meanwhile the mains is what the fill time settles, and the fittings are usual ones.
func TestMainsIsFittedWhereTheGaugeWasNotRead(t *testing.T) {
	m := made(t, given("residual", "", "bucket", "18 L/min", "fill-time", "9 min", "pipe", "32 mm PE", "feeds", ""))
	assert.Empty(t, doubts(m))
	assert.Equal(t, 6.0, m.Site.Pipes[0].Fittings)
	assert.InEpsilon(t, 540, fillVolume/flows(t, m.Site, "top-up", "inlet"), 0.001)
	assert.Contains(t, m.Says[0], "was not measured and was adjusted to it")
	slower := made(t, given("residual", "", "bucket", "18 L/min", "fill-time", "12 min", "pipe", "32 mm PE", "feeds",
		""))
	assert.Less(t, slower.Site.Supplies[0].Residual.SI, m.Site.Supplies[0].Residual.SI,
		"a slower fill must make the mains weaker")
}
