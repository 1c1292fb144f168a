package link

import (
	"context"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// logged starts a child with the given answers, after the greeting, and gives a way to read what it was told.
func logged(t *testing.T, greeting string, answers ...string) (harness.Controller, *fault.Panel, func() []string) {
	t.Helper()
	file := t.TempDir() + "/log"
	spec, terminals := testSpec()
	c, err := Exec(context.Background(), childCommand("script", append([]string{file, greeting}, answers...)...), spec,
		terminals, Options{})
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	panel := fault.NewPanel()
	require.NoError(t, harness.OpenController(context.Background(), c, signal.NewTrace(), panel, harness.Draw{}))
	return c, panel, func() []string {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		return strings.Split(strings.TrimSpace(string(text)), "\n")[1:]
	}
}

// A latching valve gets pulses of both polarities; what the program holds it to be lasts between them.
func TestReversedOutput(t *testing.T) {
	file := t.TempDir() + "/log"
	spec, terminals := testSpec()
	terminals[topUp].Drive = sitefile.Latching
	c, err := Exec(context.Background(), childCommand(
		"script",
		file,
		childGreeting,
		`{"at":1000000000,"out":[{"terminal":"top-up","on":true}]}`,
		`{"at":1050000000,"out":[{"terminal":"top-up","on":false}]}`,
		`{"at":2000000000,"out":[{"terminal":"top-up","on":true,"reverse":true}]}`,
		`{"at":2050000000,"out":[{"terminal":"top-up","on":false}]}`,
		`{"at":3000000000}`,
	), spec, terminals, Options{})
	require.NoError(t, err)
	defer c.Close()
	trace := signal.NewTrace()
	require.NoError(t, c.Open(context.Background(), trace, fault.NewPanel(), harness.Draw{}))
	out := until(t, c, 3000*ms, harness.Pin{Terminal: power, Volts: 12, Ohms: 0.1})
	require.Len(t, out, 4)
	assert.Equal(t, 12.0, out[0].Volts)
	assert.Equal(t, -12.0, out[2].Volts)
	commands, _ := trace.Find("top-up.command")
	assert.Equal(t, signal.Column{At: []signal.Time{0, 1000 * ms, 2000 * ms}, Value: []float64{0, 1, 0}},
		trace.Column(commands))
	hello, err := newHello(spec, terminals)
	require.NoError(t, err)
	line, err := new(writer).line(hello)
	require.NoError(t, err)
	assert.Contains(t, string(line),
		`{"name":"top-up","kind":"output","drive":"latching"},{"name":"pump","kind":"output"}`)
}

// until lets a controller run and gathers its outputs.
func until(t *testing.T, c harness.Controller, to signal.Time, in ...harness.Pin) []harness.Pin {
	t.Helper()
	var all []harness.Pin
	for n := 0; ; n++ {
		require.Less(t, n, 1000, "the controller gets no further")
		reached, out, _, err := c.Advance(context.Background(), to, in, nil)
		require.NoError(t, err)
		all = append(all, out...)
		if in = nil; reached == to {
			return all
		}
	}
}

func TestPowerTerminal(t *testing.T) {
	supply := func(volts, slope float64) harness.Pin {
		return harness.Pin{Terminal: power, Volts: volts, Slope: slope, Ohms: 0.1}
	}
	at := func(at signal.Time, p harness.Pin) harness.Pin { p.At = at; return p }
	c, panel, told := logged(t, childGreeting,
		// on, until 1 s, until 1.1 s
		`{"at":501000000,"out":[{"terminal":"top-up","on":true}]}`, `{"at":1000000000}`, `{"at":1100000000}`,
		`{"at":2000000001}`, // sagging, until the brown-out at 2 s
		`{"at":4500000001,"out":[{"terminal":"pump","on":true}]}`, `{"at":5000000000}`,
		`{"at":6000000000}`)
	assert.Empty(t, until(t, c, 400*ms, supply(12, 0)), "nothing is on while it boots")
	assert.Equal(t, []harness.Pin{{At: 501 * ms, Terminal: topUp, Volts: 12, Ohms: 0.1}}, until(t, c, 1000*ms))
	assert.Equal(t, []harness.Pin{{At: 1000 * ms, Terminal: topUp, Volts: 11, Ohms: 0.1}},
		until(t, c, 1100*ms, at(1000*ms, supply(11, 0))),
		"an output that is on follows the supply")

	sag := at(1100*ms, supply(11, -2.0/0.9))
	out := until(t, c, 3000*ms, sag)
	require.Len(t, out, 2)
	assert.Equal(t, harness.Pin{At: 1100 * ms, Terminal: topUp, Volts: 11, Slope: -2.0 / 0.9, Ohms: 0.1}, out[0])
	assert.True(t, math.IsInf(out[1].Ohms, 1), "the brown-out leaves the output on")
	assert.Less(t, sag.VoltsAt(out[1].At), 9.0, "the brown-out comes above the level")
	assert.GreaterOrEqual(t, sag.VoltsAt(out[1].At-1), 9.0, "the brown-out comes late")

	assert.Empty(t, until(t, c, 4000*ms, at(3000*ms, supply(8.999, 0))), "it runs below the brown-out level")
	assert.Equal(t, []harness.Pin{{At: 4500*ms + 1, Terminal: pump, Volts: 9, Ohms: 0.1}},
		until(t, c, 5000*ms, at(4000*ms, supply(9, 0))))

	require.NoError(t, panel.Open(5000*ms, "controller", "reset", 1))
	assert.Equal(t, []harness.Pin{harness.Open(5000*ms, pump)}, until(t, c, 5400*ms), "a reset leaves an output on")
	assert.Empty(t, until(t, c, 6000*ms))

	runs := told()
	require.Len(t, runs, 7)
	for i, boot := range []string{`"from":500000000,"to":1000000000,"boot":true,"in":[{"terminal":"tank-low"`,
		`"from":501000000,"to":1000000000}`, "",
		"", `"from":4500000000,"to":5000000000,"boot":true,"in":[{"terminal":"tank-low"`, "", `"from":5500000000,"to":6000000000,"boot":true,"in":[`} {
		assert.Contains(t, runs[i], boot)
		assert.Equal(t, boot != "" && strings.Contains(boot, "boot"), strings.Contains(runs[i], "boot"), runs[i])
	}
}

func TestFramesAndPinsOfOneMomentComeTogether(t *testing.T) {
	c, _, told := logged(t, childGreeting, `{"at":500000000,"send":[{"kind":"connect"}]}`, `{"at":1000000000}`, `{"at":3000000000}`)
	_, _, _, err := c.Advance(context.Background(), 0, atRest(0), nil)
	require.NoError(t, err)
	until(t, c, 1000*ms)
	// Two rounds at 1 s, each of which takes its pin back.
	for _, kind := range []harness.FrameKind{harness.Connected, harness.Lost} {
		_, _, _, err = c.Advance(context.Background(), 1000*ms,
			[]harness.Pin{{At: 1000 * ms, Terminal: tankLow, Ohms: 2}}, []harness.Frame{{Kind: kind}})
		require.NoError(t, err)
		_, _, _, err = c.Advance(context.Background(), 1000*ms, []harness.Pin{harness.Open(1000*ms, tankLow)}, nil)
		require.NoError(t, err)
	}
	until(t, c, 3000*ms)
	assert.Equal(
		t,
		`{"do":"run","from":1000000000,"to":3000000000,"in":[{"terminal":"tank-low","level":"high","volts":0,"slope":0,"ohms":null}],`+
			`"got":[{"kind":"connected"},{"kind":"lost"}]}`,
		told()[2],
	)
}

// An answer reaches the attempt that asked. What was meant for the program before a boot never reaches it.
func TestAnswersReachTheAttemptThatAsked(t *testing.T) {
	const asks = `{"at":500000000,"send":[{"kind":"connect"}]}`
	c, panel, told := logged(t, childGreeting, asks, `{"at":1000000000}`,
		`{"at":1600000000}`, `{"at":2000000000,"send":[{"kind":"connect"}]}`, `{"at":2500000000}`, `{"at":4000000000}`)
	give := func(at signal.Time, kinds ...harness.FrameKind) {
		var got []harness.Frame
		for _, k := range kinds {
			got = append(got, harness.Frame{At: at, Kind: k})
		}
		_, _, _, err := c.Advance(t.Context(), at, nil, got)
		require.NoError(t, err)
	}
	_, _, _, err := c.Advance(t.Context(), 0, atRest(0), nil)
	require.NoError(t, err)
	until(t, c, 1000*ms)
	require.NoError(t, panel.Open(1000*ms, "controller", "reset", 1))
	until(t, c, 1600*ms)
	give(1600*ms, harness.Connected, harness.Command, harness.Lost)
	until(t, c, 2500*ms)
	give(2500*ms, harness.Refused, harness.Refused)
	until(t, c, 4000*ms)
	var got []string
	for _, message := range told() {
		if _, frames, ok := strings.Cut(message, `"got":`); ok {
			got = append(got, frames)
		}
	}
	assert.Equal(t, []string{`[{"kind":"refused"}]}`}, got)
}

// Without power, and while it boots, nobody hears anything.
func TestFramesAreLostWithoutPower(t *testing.T) {
	c, _, told := logged(t, childGreeting, `{"at":5000000000}`)
	command := []harness.Frame{{Kind: harness.Command, Topic: "start", Text: "top-up", Value: 60}}
	_, _, _, err := c.Advance(context.Background(), 1000*ms, nil, command)
	require.NoError(t, err)
	_, _, _, err = c.Advance(context.Background(), 1200*ms,
		[]harness.Pin{{At: 1000 * ms, Terminal: power, Volts: 12, Ohms: 0.1}}, command)
	require.NoError(t, err)
	_, _, _, err = c.Advance(context.Background(), 1300*ms, nil, command)
	require.NoError(t, err)
	until(t, c, 5000*ms)
	require.Len(t, told(), 1)
	assert.NotContains(t, told()[0], "got")
}

// A contact on a slope is told at the nanosecond of its crossing, with hysteresis: 0.8 V falling, 2 V rising.
func TestSlopedContact(t *testing.T) {
	in := newInput(harness.Terminal{Kind: harness.ContactTerminal},
		harness.Input{Rail: 3.3, PullUp: 1e12, Leak: math.Inf(1), Low: 0.8, High: 2}, 0)
	in.set(harness.Pin{Volts: 3, Slope: -1, Ohms: 1e-3}, 0)
	require.True(t, in.high)
	at := first(0, signal.Hour, in.differs)
	assert.InDelta(t, 2.2, at.Seconds(), 1e-8)
	in.read(at)
	assert.False(t, in.high)
	in.set(harness.Pin{At: at, Volts: 0.8, Slope: 0.5, Ohms: 1e-3}, at)
	back := first(at, signal.Hour, in.differs)
	assert.InDelta(t, at.Seconds()+2.4, back.Seconds(), 1e-8)
	assert.Equal(t, back, first(at, back, in.differs))
	assert.Equal(t, back-1, first(at, back-1, in.differs), "no crossing before its time")
}

// For any slope and band the moment announced is the first nanosecond at which the counts are outside the band.
func TestBandIsLeftAtItsFirstNanosecond(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, _ := testSpec()
		in := newInput(harness.Terminal{Kind: harness.AnalogueTerminal},
			harness.InputOf(spec.Board, harness.AnalogueTerminal), 0)
		in.band = rapid.IntRange(1, 50).Draw(t, "band")
		now := signal.Time(rapid.Int64Range(0, int64(signal.Day)).Draw(t, "now"))
		in.set(harness.Pin{At: now, Volts: rapid.Float64Range(0, 3.3).Draw(t, "volts"),
			Slope: rapid.Float64Range(-1, 1).Draw(t, "slope"),
			Ohms:  rapid.Float64Range(1, 1e5).Draw(t, "ohms")}, now)
		to := now + signal.Time(rapid.Int64Range(1, int64(signal.Hour)).Draw(t, "span"))
		at := first(now, to, in.differs)
		if at < to && !in.differs(at) {
			t.Fatalf(
				"at %v the counts are %d, last sent were %d, the band %d",
				at,
				in.stage.Counts(in.pin, at),
				in.counts,
				in.band,
			)
		}
		if in.differs(at - 1) {
			t.Fatalf("the counts have left the band before %v", at)
		}
	})
}

// However often the run stops and the same line is connected anew, the program is told the same counts at the same
// moments.
func TestSlicesTellTheSameCounts(t *testing.T) {
	spec, _ := testSpec()
	type told struct {
		at     signal.Time
		counts int
	}
	history := func(line harness.Pin, slice signal.Time) (list []told) {
		in := newInput(harness.Terminal{Kind: harness.AnalogueTerminal},
			harness.InputOf(spec.Board, harness.AnalogueTerminal), 0)
		in.band = 5
		in.set(line, 0)
		for now := signal.Time(0); now < 5*signal.Second; {
			counts := in.counts
			now = first(now, min(now+slice, 5*signal.Second), in.differs)
			again := line
			again.At, again.Volts = now, line.VoltsAt(now)
			in.set(again, now)
			if in.counts != counts {
				list = append(list, told{now, in.counts})
			}
		}
		return list
	}
	line := harness.Pin{Volts: 1, Slope: 1.0 / 128, Ohms: 1000} // a slope that makes no rounding error of its own
	want := history(line, signal.Hour)
	require.Len(t, want, 9)
	assert.Equal(t, want, history(line, 125*ms))
}
