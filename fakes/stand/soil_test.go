package stand_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/controller"
	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// border is a day of the walled border, set up so.
func border(t *testing.T, settings ...sitefile.Setting) *harness.Run {
	s := read(t, "walled-border")
	build := stand.Builder(func(string) (*sitefile.Site, error) { return s, nil },
		harness.Maker[harness.Controller]{Make: func(_ context.Context, p *harness.Plan) (harness.Controller, error) {
			return controller.New(p.Site.Controller, p.Terminals)
		}})
	script := &harness.Script{Name: "border", Site: "walled-border", End: harness.Moment{Plus: signal.Day},
		Start: settings}
	st, err := build(context.Background(), script)
	require.NoError(t, err)
	run, err := st.Run(context.Background(), script)
	require.NoError(t, err)
	return run
}

// Water reaches a deep probe long after it has fallen. What a rule without soaks pours on meanwhile drains; one that
// waits for the water, or a probe that stands higher, keeps most of it among the roots.
func TestDeepProbe(t *testing.T) {
	litres := func(r *harness.Run) float64 {
		id, _ := r.Trace.Find("border.lost")
		return r.Trace.At(id, signal.Never) * 1000
	}
	pours := []sitefile.Setting{{Path: "controller/settings/moisture/cycle", Text: "3 h"},
		{Path: "controller/settings/moisture/soak", Text: "0 s"}}
	poured := litres(border(t, pours...))
	assert.Greater(t, poured, 300.0, "litres drain although nobody waits for the water to reach the probe")
	assert.Less(t, litres(border(t)), poured/10, "litres drain although the controller waits between cycles")
	assert.Less(t, litres(border(t, append(pours, sitefile.Setting{Path: "probes/deep-probe/depth",
		Text: "60 mm"})...)), poured/10,
		"litres drain although the probe feels the water soon")
}
