package flows_test

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/cmd/ullage/internal/flows"
	"ullage/fakes/accuracy"
	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// What `ullage flows` says of a fill before anything runs, and what a run makes of it, are two computations of one
// thing: one marches along the level, the other along the time with discs that move and a controller that looks at
// contacts. The run begins 20 mm below the low contact, so that the valve is open by then; a tank that feeds the fill
// has sunk a little meanwhile.
func TestAFillLastsAsLongAsFlowsSays(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "Fill time in a run against `ullage flows`",
		Equation: "dh/dt = q/A by the trapezoidal rule along the time",
		Source:   "the Runge-Kutta march of `ullage flows` along the level, all shipped sites with a fill", Tolerance: 2e-3})
	files, err := fs.Glob(features.Files, "sites/*.yaml")
	require.NoError(t, err)
	for _, file := range files {
		name := strings.TrimSuffix(path.Base(file), ".yaml")
		text, err := fs.ReadFile(features.Files, file)
		require.NoError(t, err)
		spec, err := sitefile.Read(name, text)
		require.NoError(t, err)
		rule := spec.Controller.Settings.Fill
		if rule == nil {
			continue
		}
		report, err := flows.Of(t.Context(), spec)
		require.NoError(t, err)
		at := slices.IndexFunc(report.Tanks, func(x flows.Tank) bool { return x.Fill != nil })
		require.GreaterOrEqual(t, at, 0, "flows prints no fill of %s", name)
		tank := report.Tanks[at]
		require.NotNil(t, tank.Fill.Lasts, "the tank of %s never fills", name)
		from, to := float64(tank.Fill.From), float64(tank.Fill.To)
		script := &harness.Script{Name: "one fill", Site: name,
			End:   harness.Moment{Plus: signal.FromSeconds(rule.LongestRun.SI)},
			Start: []sitefile.Setting{{Path: "tanks/" + tank.Name + "/starts", Text: fmt.Sprintf("%g m", from-0.02)}}}
		build := stand.Builder(func(string) (*sitefile.Site, error) { return spec, nil }, stand.Simulated())
		r, err := harness.RunOnce(t.Context(), build, script)
		require.NoError(t, err)
		begins, ends := risesTo(t, r, tank.Name, from), risesTo(t, r, tank.Name, to)
		c.Near(float64(*tank.Fill.Lasts), ends-begins, "a fill of %s in %s, s", tank.Name, name)
	}
}

// risesTo is when the level in a tank first comes up to a level, s.
func risesTo(t *testing.T, r *harness.Run, tank string, level float64) float64 {
	id, _ := r.Trace.Find(tank + ".level")
	c := r.Trace.Column(id)
	i := slices.IndexFunc(c.Value, func(v float64) bool { return v >= level })
	require.Positive(t, i, "the water in %s never comes from below to %g m", tank, level)
	return c.At[i-1].Seconds() + (c.At[i]-c.At[i-1]).Seconds()*(level-c.Value[i-1])/(c.Value[i]-c.Value[i-1])
}
