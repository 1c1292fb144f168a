package link

import (
	"context"
	"errors"
	"fmt"
	"os"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/signal"
)

const ms = signal.Millisecond

// patience is the deadline of programs that do not answer in time: long enough for one that is only slow on a busy
// machine to come as far as the test wants it.
const patience = 3 * time.Second

// failure runs a child until its first error.
func failure(t *testing.T, command []string, deadline time.Duration) (harness.Controller, error) {
	t.Helper()
	c := opened(t, command, Options{Deadline: deadline})
	for now := signal.Second; now < 100*signal.Second; now += signal.Second {
		if _, _, _, err := c.Advance(context.Background(), now, nil, nil); err != nil {
			return c, err
		}
	}
	require.Fail(t, "nothing went wrong")
	return nil, nil
}

func TestMisbehaviourEndsTheScenario(t *testing.T) {
	tests := []struct {
		name    string
		command []string
		want    []string
		not     []string
	}{
		{name: "hangs", command: childCommand("hangs"), want: []string{"did not answer within 3s",
			`> {"do":"run","from":1000000000,"to":2000000000`, "waiting for the moon"}},
		{name: "hangs with a grandchild that holds the pipes", command: childCommand("hangs with a grandchild"),
			want: []string{"did not answer within 3s"}},
		{name: "dies", command: childCommand("dies"), want: []string{"ended instead of answering: exit status 7",
			"tank full of bees", `< {"at":1000000000}`}},
		{name: "dies in the middle of a line", command: childCommand("dies in the middle of a line"),
			want: []string{"ended instead of answering: exit status 0", `< {"at":12`, "standard error is empty"}},
		{name: "closes its output and lingers", command: childCommand("closes its output"),
			want: []string{"closed its output instead of answering"}},
		{name: "floods standard error", command: childCommand("floods"), want: []string{"exit status 1", "the end"},
			not: []string{"the beginning"}},
		{name: "never ends its line", command: childCommand("never ends its line"),
			want: []string{"without a line end"}},
		{name: "answers twice", command: childCommand("says twice"), want: []string{"more than one line"}},
		{name: "goes back in time", command: childCommand("says", childGreeting, `{"at":5}`),
			want: []string{"went back in time: it was at 1000000000 ns and answers that it reached 5 ns"}},
		{name: "runs past the moment", command: childCommand("says", childGreeting, `{"at":2000000001}`),
			want: []string{"was to run until 2000000000 ns at the most and answers that it reached 2000000001 ns"}},
		{name: "stands still", command: childCommand("says", childGreeting, `{"at":FROM}`),
			want: []string{"stands still"}},
		{name: "stands still with an output that does not change",
			command: childCommand("says", childGreeting,
				`{"at":FROM,"out":[{"terminal":"pump","on":false}]}`), want: []string{"stands still"}},
		{name: "talks nonsense", command: childCommand("says", childGreeting, `Segmentation fault`),
			want: []string{"not one JSON object of the protocol", "< Segmentation fault"}},
		{name: "an empty line", command: childCommand("says", childGreeting, ``),
			want: []string{"not one JSON object"}},
		{name: "a list", command: childCommand("says", childGreeting, `[1]`), want: []string{"not one JSON object"}},
		{name: "two objects", command: childCommand("says", childGreeting, `{"at":TO}{"at":TO}`),
			want: []string{"more than one value on the line"}},
		{name: "no moment", command: childCommand("says", childGreeting, `{"out":[]}`), want: []string{`no "at"`}},
		{name: "a moment that is no whole number", command: childCommand("says", childGreeting, `{"at":1.5e9}`),
			want: []string{"not one JSON object"}},
		{name: "a mistyped key", command: childCommand("says", childGreeting, `{"at":TO,"outs":[]}`),
			want: []string{`unknown field "outs"`}},
		{name: "an unknown terminal", command: childCommand(
			"says",
			childGreeting,
			`{"at":TO,"out":[{"terminal":"top_up","on":true}]}`,
		), want: []string{`names an output "top_up"; the outputs are "top-up", "pump"`}},
		{name: "an input as output", command: childCommand("says", childGreeting,
			`{"at":TO,"out":[{"terminal":"tank-low","on":true}]}`), want: []string{`names an output "tank-low"`}},
		{name: "an output neither on nor off", command: childCommand("says", childGreeting,
			`{"at":TO,"out":[{"terminal":"pump"}]}`), want: []string{`does not say whether the output "pump" is "on"`}},
		{name: "an unknown frame", command: childCommand("says", childGreeting,
			`{"at":TO,"send":[{"kind":"subscribe"}]}`), want: []string{`kind "subscribe"`}},
		{name: "an unknown alert", command: childCommand(
			"says",
			childGreeting,
			`{"at":TO,"send":[{"kind":"publish","number":1,"topic":"alert","text":"spil"}]}`,
		), want: []string{`alert "spil"; the alerts are "fill too long"`}},
		{name: "a publish without number", command: childCommand("says", childGreeting,
			`{"at":TO,"send":[{"kind":"publish","topic":"report"}]}`), want: []string{`no "number"`}},
		{name: "an unknown topic", command: childCommand("says", childGreeting,
			`{"at":TO,"send":[{"kind":"publish","number":1,"topic":"news"}]}`), want: []string{`publishes to "news"`}},
		{name: "gives up", command: childCommand("says", childGreeting, `{"error":"no heap left"}`),
			want: []string{"gives up: no heap left"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			deadline := time.Minute
			if strings.Contains(tt.name, "hangs") || strings.Contains(tt.name, "lingers") {
				deadline = patience
			}
			c, err := failure(t, tt.command, deadline)
			for _, want := range tt.want {
				assert.ErrorContains(t, err, want)
			}
			for _, not := range tt.not {
				assert.NotContains(t, err.Error(), not)
			}
			assert.Less(t, len(err.Error()), 12000, "the error is not bounded")
			state := c.(*controller).process.cmd.ProcessState
			require.NotNil(t, state, "the process was not reaped")
			_, _, _, again := c.Advance(context.Background(), 200*signal.Second, nil, nil)
			assert.Equal(t, err, again, "an error is not kept")
			assert.NoError(t, c.Close())
			assert.NoError(t, c.Close(), "closing twice is allowed")
			assertEnded(t, err)
		})
	}
}

// assertEnded waits for the end of the grandchild that an error's standard error names.
func assertEnded(t *testing.T, err error) {
	t.Helper()
	_, rest, ok := strings.Cut(err.Error(), "grandchild ")
	if !ok || runtime.GOOS == "windows" {
		return
	}
	pid, convErr := strconv.Atoi(strings.Fields(rest)[0])
	require.NoError(t, convErr)
	assert.Eventually(t, func() bool {
		stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
		if err == nil { // an orphan may wait for a slow init to reap it
			return strings.Contains(string(stat), ") Z ")
		}
		process, err := os.FindProcess(pid)
		return err != nil || process.Signal(syscall.Signal(0)) != nil
	}, time.Minute, 10*time.Millisecond, "a grandchild of the controller still runs")
}

func TestGreetingIsChecked(t *testing.T) {
	for greeting, want := range map[string]string{
		`{"name":"x","can":["flying"]}`:                            `claims an ability "flying"; the abilities are "fill rule"`,
		`{"can":["fill rule"]}`:                                    `no "name"`,
		`{"name":"x","can":[],"band":-1}`:                          `"band" of -1`,
		`{"error":"no moisture rule here"}`:                        "refuses: no moisture rule here",
		`ready.`:                                                   "not one JSON object",
		`{"name":"x","abilities":[]}`:                              `unknown field "abilities"`,
		`{"name":"x","reacts":{"polls":1}}`:                        `"reacts": there is no key "polls"`,
		`{"name":"x","reacts":{"debounce":{"from_s":2,"to_s":1}}}`: `debounce/from is 2 s; expected at most debounce/to, 1 s`,
		`{"name":"x","reacts":{"back_off":{"most":1}}}`:            `back_off: there is no key "most"`,
		`{"name":"x","reacts":{"filter_s":-1}}`:                    "filter is -1 s; expected 0 s or more",
		`{"name":"x","reacts":[]}`:                                 `its greeting has "reacts"`,
	} {
		spec, terminals := testSpec()
		_, err := Exec(context.Background(), childCommand("says", greeting), spec, terminals, Options{})
		assert.ErrorContains(t, err, want)
	}
}

func TestProgramThatCannotStart(t *testing.T) {
	spec, terminals := testSpec()
	_, err := Exec(context.Background(), []string{"./no-such-program"}, spec, terminals, Options{})
	assert.ErrorContains(t, err, `the controller "./no-such-program" cannot be started`)
	_, err = Exec(context.Background(), nil, spec, terminals, Options{})
	assert.ErrorContains(t, err, "no program")
	_, err = Exec(context.Background(), childCommand("fine"), spec, terminals[:1], Options{})
	assert.ErrorContains(t, err, "no power terminal")
}

func TestCloseSaysHowItEnded(t *testing.T) {
	for behaviour, want := range map[string]string{"fine": "", "ends badly": "ended with exit status 3",
		"does not end": "did not end within 3s"} {
		t.Run(behaviour, func(t *testing.T) {
			t.Parallel()
			c := opened(t, childCommand(behaviour), Options{Deadline: patience})
			_, _, _, err := c.Advance(context.Background(), signal.Second, nil, nil)
			require.NoError(t, err)
			if err = c.Close(); want == "" {
				assert.NoError(t, err)
			} else {
				assert.ErrorContains(t, err, want)
			}
			assert.NotNil(t, c.(*controller).process.cmd.ProcessState, "the process was not reaped")
			assert.NoError(t, c.Close(), "closing twice is allowed")
			_, out, _, err := c.Advance(context.Background(), 2*signal.Second, nil, nil)
			assert.Error(t, err, "a closed controller goes on")
			assert.Empty(t, out)
		})
	}
}

func TestNothingIsLeftBehind(t *testing.T) {
	require.NoError(t, opened(t, childCommand("fine")).Close()) // the goroutine that starts programs stays
	before := runtime.NumGoroutine()
	for range 20 {
		c := opened(t, childCommand("blinks"))
		_, _, _, err := c.Advance(context.Background(), signal.Second, nil, nil)
		require.NoError(t, err)
		require.NoError(t, c.Close())
	}
	for range 6000 {
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before, "goroutines are left behind by closed controllers")
}

func TestOutputsAfterAnError(t *testing.T) {
	c := opened(t, childCommand("on"))
	reached, out, _, err := c.Advance(context.Background(), signal.Second, nil, nil)
	require.NoError(t, err)
	assert.Equal(t, []harness.Pin{{At: reached, Terminal: topUp, Volts: 12, Ohms: 0.1}}, out)
	reached, out, _, err = c.Advance(context.Background(), 2*signal.Second, []harness.Pin{{Terminal: 99}}, nil)
	assert.ErrorContains(t, err, "terminal 99 is no input")
	assert.Equal(t, []harness.Pin{harness.Open(reached, topUp)}, out, "an output stays on after an error")
}

func TestRefusals(t *testing.T) {
	_, _, _, err := opened(t, childCommand("fine")).Advance(context.Background(), -1, nil, nil)
	assert.ErrorContains(t, err, "is at 00:00:00 already")
	inf := harness.Pin{Terminal: probe, Volts: 1e308, Slope: 1e308}
	c := opened(t, childCommand("fine"))
	_, _, _, err = c.Advance(context.Background(), 100*signal.Second, nil, nil)
	require.NoError(t, err)
	_, _, _, err = c.Advance(context.Background(), 200*signal.Second, []harness.Pin{inf}, nil)
	assert.ErrorContains(t, err, `gives "probe" no voltage`)
	_, _, _, err = opened(t, childCommand("fine")).Advance(context.Background(), signal.Never, nil, nil)
	assert.ErrorContains(t, err, "a run over this link ends at 104d+")
	spec, terminals := testSpec()
	c, err = Exec(context.Background(), childCommand("fine"), spec, terminals, Options{})
	require.NoError(t, err)
	_, _, _, err = c.Advance(context.Background(), 1, nil, nil)
	assert.ErrorContains(t, err, "not open")
	assert.NoError(t, c.Close())
}

// A program that hangs is ended with the context, not at its deadline.
func TestAnExchangeEndsWithItsContext(t *testing.T) {
	c := opened(t, childCommand("hangs"), Options{Deadline: 10 * time.Minute})
	gone := errors.New("somebody ended the run")
	ctx, cancel := context.WithCancelCause(context.Background())
	_, _, _, err := c.Advance(ctx, signal.Second, nil, nil) // everyone behaves once
	require.NoError(t, err)
	time.AfterFunc(20*time.Millisecond, func() { cancel(gone) })
	_, out, _, err := c.Advance(ctx, 100*signal.Second, nil, nil)
	require.ErrorIs(t, err, gone)
	assert.Empty(t, out)
	assert.NotNil(t, c.(*controller).process.cmd.ProcessState, "the process was not reaped")
	assert.NoError(t, c.Close())
}
