package site_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/site"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// rig is a site without a controller: the test drives the outputs and turns the knobs.
type rig struct {
	t     require.TestingT
	spec  *sitefile.Site
	site  *site.Site
	trace *signal.Trace
	panel *fault.Panel
	now   signal.Time
	pins  []harness.Pin // all that the site has told its controller
}

// controllerOf writes the controller of a small site: the outputs and contacts named, and power.
func controllerOf(outputs, contacts []string) string {
	var b strings.Builder
	b.WriteString("controller:\n  supply: 12 V\n  resets-below: 8 V\n  boots: 1 s\n")
	b.WriteString(
		"  board: {rail: 3.3 V, pull-up: 10 kohm, low: 0.8 V, high: 2 V, bits: 12, impedance: 1 Mohm}\n  terminals:",
	)
	if len(outputs)+len(contacts) == 0 {
		b.WriteString(" []")
	}
	b.WriteString("\n")
	for i, name := range outputs {
		fmt.Fprintf(&b, "    - {terminal: OUT%d, output: %s}\n", i+1, name)
	}
	for i, name := range contacts {
		fmt.Fprintf(&b, "    - {terminal: IN%d, contact: %s}\n", i+1, name)
	}
	return b.String() + "  settings: {clock: 'Monday 00:00'}\n"
}

func read(t require.TestingT, text string) *sitefile.Site {
	spec, err := sitefile.Read("test.yaml", []byte(text))
	require.NoError(t, err, "the site of the test is wrong: %v\n%s", err, text)
	return spec
}

// shipped reads one of the sites that come with the project.
func shipped(t require.TestingT, name string) *sitefile.Site {
	text, err := os.ReadFile("../../features/sites/" + name + ".yaml")
	require.NoError(t, err)
	return read(t, string(text))
}

func open(t require.TestingT, spec *sitefile.Site) *rig {
	s, err := site.New(spec)
	require.NoError(t, err, "the site cannot be built")
	r := &rig{t: t, spec: spec, site: s, trace: signal.NewTrace(), panel: fault.NewPanel()}
	require.NoError(t, s.Open(context.Background(), r.trace, r.panel, harness.NewDraw(1, "test")))
	r.advance(0)
	return r
}

// advance takes the site to a moment with outputs changed there.
func (r *rig) advance(to signal.Time, outputs ...harness.Pin) {
	pins, err := r.site.Advance(context.Background(), to, outputs)
	require.NoError(r.t, err, "the site cannot go on at %v", to)
	r.pins = append(r.pins, pins...)
	r.now = to
}

// run lets time pass, from one moment of the site to the next as the loop of a stand does.
func (r *rig) run(until signal.Time) {
	for steps := 0; r.now < until; steps++ {
		require.Less(r.t, steps, 200000, "the site takes no end of steps on the way to %v, and is at %v", until, r.now)
		r.advance(max(r.now, min(r.site.Next(), until)))
	}
}

// drive puts an output on or off at the present moment.
func (r *rig) drive(device string, on bool) {
	volts := 0.0
	if on {
		volts = 12
	}
	for i, t := range harness.Terminals(r.spec) {
		if t.Name == device && t.Kind == harness.OutputTerminal {
			r.advance(r.now, harness.Pin{At: r.now, Terminal: i, Volts: volts, Ohms: 1})
			return
		}
	}
	require.Fail(r.t, "no output "+device)
}

func (r *rig) open(device, knob string, value float64) {
	require.NoError(r.t, r.panel.Open(r.now, device, knob, value))
	r.advance(r.now)
}

func (r *rig) close(device, knob string, value float64) {
	require.NoError(r.t, r.panel.Close(r.now, device, knob, value))
	r.advance(r.now)
}

// end closes the site and its trace.
func (r *rig) end() *signal.Trace {
	require.NoError(r.t, r.site.Close())
	r.trace.Close(r.now)
	return r.trace
}

// at is a signal at a moment, last at the end of what has been recorded.
func (r *rig) at(name string, when signal.Time) float64 {
	id, ok := r.trace.Find(name)
	require.True(r.t, ok, "the site does not record %s", name)
	return r.trace.At(id, when)
}

func (r *rig) last(name string) float64 { return r.at(name, signal.Never) }

// changes are the moments at which a held signal takes a value.
func (r *rig) changes(name string, value float64) []signal.Time {
	id, ok := r.trace.Find(name)
	require.True(r.t, ok, "the site does not record %s", name)
	var list []signal.Time
	c := r.trace.Column(id)
	for i := range c.At {
		if c.Value[i] == value {
			list = append(list, c.At[i])
		}
	}
	return list
}

// same demands that two traces are the same to the bit, except for the signals of some devices.
func same(t testing.TB, want, got *signal.Trace, why string) {
	for i, s := range want.Signals() {
		a, b := want.Column(signal.ID(i)), got.Column(signal.ID(i))
		require.Equal(t, a.At, b.At, "%s: %s changes at other moments", why, s.Name())
		require.Equal(t, a.Value, b.Value, "%s: %s has other values", why, s.Name())
	}
}

const litrePerMinute = 1e-3 / 60

// A site that is asked for a day stops when its context ends.
func TestStopsWhenItsContextEnds(t *testing.T) {
	r := open(t, shipped(t, "tern-lane"))
	gone := errors.New("somebody ended the run")
	ctx, cancel := context.WithCancelCause(context.Background())
	cancel(gone)
	_, err := r.site.Advance(ctx, signal.Day, nil)
	require.ErrorIs(t, err, gone, "the site goes on to the end of the day")
}
