package scenarios_test

import (
	"context"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/runs"
)

// switcher is a controller that claims to be able to do everything and does nothing but switch its outputs on, or leave
// them off, when it boots.
type switcher struct {
	terminals []harness.Terminal
	on        bool
	switched  bool
	now       signal.Time
	record    signal.Recorder
	commands  map[string]signal.ID
}

func (u *switcher) Open(_ context.Context, record signal.Recorder, _ *fault.Panel, _ harness.Draw) error {
	u.record, u.commands = record, map[string]signal.ID{}
	for _, s := range harness.ControllerSignals(u.terminals) {
		id := record.Declare(s)
		if s.Shape != signal.Event {
			record.Put(signal.Change{ID: id})
		}
		u.commands[s.Name()] = id
	}
	return nil
}

func (u *switcher) Knobs() []harness.ControllerKnob { return harness.ControllerKnobs() }

func (u *switcher) Turn(signal.Time, harness.ControllerKnob, float64) error { return nil }

func (u *switcher) Close() error { return nil }

func (u *switcher) Advance(ctx context.Context, to signal.Time, _ []harness.Pin, _ []harness.Frame) (signal.Time,
	[]harness.Pin, []harness.Frame, error) {
	if !u.on || u.switched || to == 0 {
		u.now = to
		return to, nil, nil, nil
	}
	u.switched = true
	var out []harness.Pin
	for i, t := range u.terminals {
		if t.Kind == harness.OutputTerminal {
			u.record.Put(signal.Change{At: u.now, ID: u.commands[signal.Output(t.Name).Command().Name()], Value: 1})
			out = append(out, harness.Pin{At: u.now, Terminal: i, Volts: 12, Ohms: 1})
		}
	}
	return u.now, out, nil, nil
}

func (u *switcher) Can() harness.Abilities {
	can := harness.Abilities{}
	for _, a := range harness.AllAbilities() {
		can[a] = true
	}
	return can
}

// A suite that a dead controller passes proves nothing, nor does one that a controller passes whose outputs are on for
// ever. Scenarios about what the site alone carries away are tagged @site-alone.
func TestUnfitControllersHoldNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole suite over again; the run of the shipped features shows the races")
	}
	for name, on := range map[string]bool{"dead": false, "always on": true} {
		t.Run(name, func(t *testing.T) {
			l := shipped(t)
			results, err := runs.Suite(t.Context(), runs.Options{Library: l,
				Settings: runs.Settings{Seed: 1, Nominal: true}, Concurrency: runtime.GOMAXPROCS(0),
				Runner: runs.On(stand.Builder(l.Site,
					harness.Maker[harness.Controller]{Make: func(_ context.Context,
						p *harness.Plan) (harness.Controller, error) {
						return &switcher{terminals: p.Terminals, on: on}, nil
					}}))})
			require.NoError(t, err)
			for _, r := range results {
				if !slices.Contains(r.Script.Tags, "@site-alone") {
					assert.NotEqual(t, outcome.Held, r.Worst(), "%s:%d holds with a controller that is %s: %s",
						r.Script.File, r.Script.Line, name, r.Script.Name)
				}
			}
		})
	}
}
