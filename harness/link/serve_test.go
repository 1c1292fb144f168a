package link

import (
	"bytes"
	"context"
	"errors"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/sitefile"
	"ullage/harness/standtest"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

func TestServedControllerConforms(t *testing.T) {
	spec, terminals := standtest.Wiring()
	c, err := Exec(t.Context(), childCommand("serves"), spec, terminals, Options{})
	require.NoError(t, err)
	assert.Zero(t, harness.ReactsOf(c, spec).Filter.SI, "it does not say how it reacts")
	require.NoError(t, c.Close())
	require.NoError(t, standtest.Controller(func() (harness.Controller, error) {
		return Exec(t.Context(), childCommand("serves"), spec, terminals, Options{})
	}))
}

// A controller that is served decides as it does in this process: every scenario about the cut-off that a program can
// run holds, by the margin that it has without the link.
func TestServedControllerGivesTheSameMargins(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the shipped scenarios about the cut-off twice")
	}
	library, err := scenarios.Open(features.Files)
	require.NoError(t, err)
	run := func(make harness.Maker[harness.Controller]) []*harness.Result {
		results, err := runs.Suite(t.Context(), runs.Options{Library: library,
			Select: scenarios.Selection{Tags: "@protection-cut-off"}, Settings: runs.Settings{Seed: 1, Nominal: true},
			Runner: runs.On(stand.Builder(library.Site, make)), Concurrency: runtime.GOMAXPROCS(0)})
		require.NoError(t, err)
		return results
	}
	here := run(stand.Simulated())
	there := run(harness.Maker[harness.Controller]{Make: func(ctx context.Context, p *harness.Plan) (harness.Controller,
		error) {
		return Exec(ctx, childCommand("serves"), p.Site.Controller, p.Terminals, Options{})
	}})
	ran := 0
	for i, r := range there {
		if r.Worst() == outcome.NotRun {
			continue
		}
		ran++
		for n, v := range r.Verdicts {
			assert.Equal(t, here[i].Verdicts[n].State, v.State, "%s\n%s: %s", r.Script.Name, r.Script.Outcomes[n].Text,
				v.Why)
			assert.InDelta(t, here[i].Verdicts[n].Margin, v.Margin, 1e-6, "%s\n%s", r.Script.Name,
				r.Script.Outcomes[n].Text)
		}
	}
	assert.GreaterOrEqual(t, ran, 5, "of %d scenarios", len(there))
}

// What a harness may send wrongly, or a controller may fail in, ends the program with an error that the harness is
// told.
func TestServeReportsWhatGoesWrong(t *testing.T) {
	spec, terminals := testSpec()
	greeting, err := newHello(spec, terminals)
	require.NoError(t, err)
	line, err := new(writer).line(greeting)
	require.NoError(t, err)
	hello := string(line)
	fails := func(sitefile.Controller, []harness.Terminal) (harness.Controller, error) {
		return nil, errors.New("no such board")
	}
	for _, tt := range []struct {
		name, in, want string
		make           Maker
	}{
		{"no JSON", "hello", "no message of the protocol", nil},
		{"run before hello", `{"do":"run","from":0,"to":5}`, `a message "run"; expected hello once`, nil},
		{"another version", `{"do":"hello","version":99}`, "speaks version 99", nil},
		{"no power terminal", `{"do":"hello","version":1,"terminals":[],"controller":{}}`, "no power terminal", nil},
		{"an unknown kind of terminal", `{"do":"hello","version":1,"terminals":[{"name":"x","kind":"wheel"}],"controller":{}}`, `no kind of terminal called "wheel"`, nil},
		{"settings that are none", `{"do":"hello","version":1,"terminals":[],"controller":{"boots_s":"soon"}}`,
			"settings: boots_s", nil},
		{"a controller that cannot be made", hello, "no such board", fails},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var out bytes.Buffer
			err := Serve(strings.NewReader(tt.in+"\n"), &out, "x", tt.make)
			require.ErrorContains(t, err, tt.want)
			assert.Contains(t, out.String(), `{"error":"`, "the harness gets no error")
		})
	}
	assert.NoError(t, Serve(strings.NewReader(""), &bytes.Buffer{}, "x", nil), "the end of its input is no error")
}
