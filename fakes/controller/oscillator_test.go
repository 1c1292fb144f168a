package controller

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/standtest"
)

// turned is a controller whose oscillator is off from the beginning.
type turned struct {
	*Drifting
	rate float64
}

func (c turned) Open(ctx context.Context, record signal.Recorder, panel *fault.Panel, draw harness.Draw) error {
	if err := c.Drifting.Open(ctx, record, panel, draw); err != nil {
		return err
	}
	return c.Turn(0, harness.KnobOscillator, c.rate)
}

// Knobs are those of the controller: the oscillator is not at rest.
func (c turned) Knobs() []harness.ControllerKnob { return c.Controller.Knobs() }

// A fast one boots sooner than the suite allows; all else holds for it as well.
func TestOffOscillatorConforms(t *testing.T) {
	spec, terminals := standtest.Wiring()
	for _, rate := range []float64{1, 0.97, 0.9999, 0.5} {
		assert.NoError(t, standtest.Controller(func() (harness.Controller, error) {
			c, err := New(spec, terminals)
			return turned{OnOscillator(c), rate}, err
		}), "rate %g", rate)
	}
}

// The two ways between the times agree: what the controller does at a time of its own it does at the first moment of
// the stand at which it is that time.
func TestTimesOfAnOscillator(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := signal.Time(rapid.Int64Range(0, int64(signal.Day)).Draw(t, "from"))
		d := &Drifting{rate: rapid.Float64Range(0.5, 2).Draw(t, "rate"), from: from, at: from / 3, off: true}
		own := d.at + signal.Time(rapid.Int64Range(0, int64(signal.Day)).Draw(t, "own"))
		at := d.stands(own)
		assert.GreaterOrEqual(t, d.own(at), own)
		if at > from {
			assert.Less(t, d.own(at-1), own, "it could have been sooner")
		}
	})
}

// Ten minutes of a slow controller are longer by the share that its oscillator lacks.
func TestASlowRunIsLonger(t *testing.T) {
	for _, rate := range []float64{1, 0.97, 0.5, 1.03} {
		spec, terminals := ternLane()
		c, err := New(spec, terminals)
		require.NoError(t, err)
		d, panel, trace := OnOscillator(c), fault.NewPanel(), signal.NewTrace()
		require.NoError(t, harness.OpenController(t.Context(), d, trace, panel, harness.Draw{}))
		require.NoError(t, panel.Open(0, "controller", "oscillator", rate))
		in := []harness.Pin{{Terminal: len(terminals) - 1, Volts: 12}}
		got := []harness.Frame(nil)
		var edges []signal.Time
		commanded := false
		for now := signal.Time(0); now < signal.Hour; {
			reached, out, sent, err := d.Advance(context.Background(), now+10*signal.Second, in, got)
			require.NoError(t, err)
			in, got = nil, nil
			if slices.ContainsFunc(sent, func(f harness.Frame) bool { return f.Kind == harness.Connect }) {
				got = []harness.Frame{{At: reached, Kind: harness.Connected}}
			}
			for _, p := range out {
				assert.Equal(t, reached, p.At)
				edges = append(edges, p.At)
			}
			if now = reached; now > 10*signal.Second && !commanded {
				commanded = true
				got = []harness.Frame{
					{At: now, Kind: harness.Command, Topic: harness.TopicStart, Text: "drip", Value: 600},
				}
			}
		}
		require.Len(t, edges, 4, "drip and pump on, and off again")
		assert.InDelta(t, 600/rate, (edges[2] - edges[0]).Seconds(), 1e-6, "rate %g", rate)
		id, _ := trace.Find("drip.command")
		assert.Equal(
			t,
			[]signal.Time{edges[0], edges[2]},
			trace.Column(id).At[1:],
			"the trace has other moments than the outputs",
		)
	}
}
