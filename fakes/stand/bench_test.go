package stand_test

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/controller"
	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

func read(t testing.TB, name string) *sitefile.Site {
	text, err := os.ReadFile("../../features/sites/" + name + ".yaml")
	require.NoError(t, err)
	s, err := sitefile.Read(name, text)
	require.NoError(t, err)
	return s
}

// busyDay is a day in which everything happens often: a steady draw that asks for a fill every other hour, a bed that
// dries fast and is watered in short cycles, contacts that bounce at every change.
func busyDay() *harness.Script {
	turns := []fault.Turn{{Device: "header-tank", Knob: "draw", Value: 2.1e-3 / 60, Until: signal.Never}}
	for _, contact := range []string{"tank-low", "tank-high"} {
		turns = append(turns, fault.Turn{Device: contact, Knob: "bounce time", Value: 0.15, Until: signal.Never},
			fault.Turn{Device: contact, Knob: "bounce edges", Value: 6, Until: signal.Never})
	}
	return &harness.Script{Name: "busy day", Site: "tern-lane", End: harness.Moment{Plus: signal.Day},
		Start: []sitefile.Setting{
			{Path: "beds/bed/evapotranspiration", Text: "30 mm/day"},
			{Path: "controller/settings/moisture/cycle", Text: "1 min"},
			{Path: "controller/settings/moisture/soak", Text: "5 min"},
			{Path: "controller/settings/moisture/attempts", Text: "40"},
		},
		Acts: []harness.Act{{Mark: "busy", Turns: turns}}}
}

func rising(run *harness.Run, name string) int {
	id, _ := run.Trace.Find(name)
	n := 0
	for _, v := range run.Trace.Column(id).Value {
		if v > 0 {
			n++
		}
	}
	return n
}

func edges(run *harness.Run, name string) int {
	id, _ := run.Trace.Find(name)
	return len(run.Trace.Column(id).At)
}

// BenchmarkDay is one day of Tern Lane with everything recorded; evidence is not written.
func BenchmarkDay(b *testing.B) {
	s := read(b, "tern-lane")
	var device *controller.Controller
	build := stand.Builder(func(string) (*sitefile.Site, error) { return s, nil },
		harness.Maker[harness.Controller]{Make: func(_ context.Context, p *harness.Plan) (_ harness.Controller,
			err error) {
			device, err = controller.New(p.Site.Controller, p.Terminals)
			return device, err
		}})
	b.ReportAllocs()
	for b.Loop() {
		script := busyDay()
		st, err := build(context.Background(), script)
		require.NoError(b, err)
		run, err := st.Run(context.Background(), script)
		require.NoError(b, err)
		require.GreaterOrEqual(b, rising(run, "controller.filling"), 12, "fills")
		require.GreaterOrEqual(b, rising(run, "sprays.command"), 24, "moisture cycles")
		require.GreaterOrEqual(b, edges(run, "tank-low.closed")+edges(run, "tank-high.closed"), 200, "bounce edges")
		require.GreaterOrEqual(b, recorded(run), 30, "signals recorded")
		require.GreaterOrEqual(b, device.Samples(), 86390, "readings of the probe, one a second")
	}
}

// recorded is the number of signals that changed.
func recorded(run *harness.Run) int {
	n := 0
	for i := range run.Trace.Signals() {
		if len(run.Trace.Column(signal.ID(i)).At) > 1 {
			n++
		}
	}
	return n
}
