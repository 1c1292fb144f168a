package runs_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	ossignal "os/signal"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/features"
	"ullage/harness"
	"ullage/harness/lockfile"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// simulated makes simulated stands.
func simulated(_ runs.Settings, sites harness.Sites) (harness.Builder, harness.Proof, error) {
	return stand.Builder(sites, stand.Simulated()), harness.ClosedLoop{}, nil
}

// TestMain lets the test binary be the child process of Workers: one that does its jobs, one that hangs, one that
// crashes.
func TestMain(m *testing.M) {
	switch os.Getenv("RUNS_WORKER") {
	case "works":
		if err := runs.Serve(context.Background(), runs.Local(simulated), os.Stdin, os.Stdout); err != nil {
			panic(err)
		}
	case "hangs":
		select {}
	case "crashes":
		panic("out of memory")
	case "cleans up":
		ctx, _ := ossignal.NotifyContext(context.Background(), syscall.SIGTERM)
		fmt.Fprintln(os.Stderr, os.WriteFile(os.Getenv("RUNS_STARTED"), nil, 0o666))
		<-ctx.Done()
		fmt.Fprintln(os.Stderr, os.Remove(os.Getenv("RUNS_STARTED")))
	default:
		os.Exit(m.Run())
	}
}

// workers are children that behave so.
func workers(t *testing.T, behaviour string) *runs.Workers {
	t.Setenv("RUNS_WORKER", behaviour)
	self, err := os.Executable()
	require.NoError(t, err)
	w := runs.NewWorkers(self)
	t.Cleanup(w.Close)
	return w
}

// jobs are those of a few shipped scenarios: some on one run, some proven, with bounces and draws among them.
func jobs(t *testing.T, settings runs.Settings) []*runs.Job {
	l, err := scenarios.Open(features.Files)
	require.NoError(t, err)
	cases, err := l.Select(scenarios.Selection{Names: []string{"bounce", "back-siphon", "jams"}})
	require.NoError(t, err)
	var list []*runs.Job
	for _, c := range cases[:3] {
		list = append(list, runs.New(c, l, settings))
	}
	return list
}

var settings = runs.Settings{Stand: runs.Stand{Controller: "simulated"}, Seed: 1, Proof: runs.ClosedLoop, Nominal: true,
	Trace: true, Timeout: time.Minute}

// sameScript compares two scripts in all that can be compared: outcomes are made of functions.
func sameScript(t *testing.T, want, got *harness.Script) {
	a, b := *want, *got
	a.Outcomes, b.Outcomes = nil, nil
	assert.Equal(t, a, b)
	assert.Len(t, got.Outcomes, len(want.Outcomes))
}

// same compares two results of a job, to the bit.
func same(t *testing.T, want, got *harness.Result) {
	require.NoError(t, want.Err)
	require.NoError(t, got.Err)
	sameScript(t, want.Script, got.Script)
	assert.Equal(t, want.Verdicts, got.Verdicts)
	assert.Equal(t, []any{want.Run.Begins, want.Run.End, want.Run.Acts, want.Run.Balance},
		[]any{got.Run.Begins, got.Run.End, got.Run.Acts, got.Run.Balance})
	require.Equal(t, want.Run.Trace.Signals(), got.Run.Trace.Signals())
	for i := range want.Run.Trace.Signals() {
		assert.Equal(t, want.Run.Trace.Column(signal.ID(i)), got.Run.Trace.Column(signal.ID(i)))
	}
	assert.Equal(t, want.Run.Trace.End(), got.Run.Trace.End())
}

// A run that was written down and read back gives the same result, here and in another process, and has the same key.
func TestARunIsData(t *testing.T) {
	local, children := runs.Local(simulated), workers(t, "works")
	for _, j := range jobs(t, settings) {
		want := local.Run(t.Context(), j)
		text, err := json.Marshal(j.Description)
		require.NoError(t, err)
		back, err := runs.Read(text)
		require.NoError(t, err)
		again, err := json.Marshal(back.Description)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(text, again), "a description is not what it was before it was read")
		assert.Equal(t, j.Key(), back.Key())
		same(t, want, local.Run(t.Context(), back))
		same(t, want, children.Run(t.Context(), j))
	}
}

func TestAnActIsLeftOut(t *testing.T) {
	j := jobs(t, settings)[0].LeaveOut(0)
	script, _ := j.Script()
	assert.Empty(t, script.Acts[0].Turns)
	text, err := json.Marshal(j.Description)
	require.NoError(t, err)
	back, err := runs.Read(text)
	require.NoError(t, err)
	other, _ := back.Script()
	sameScript(t, script, other)
}

// What decides about a result is in its key, and what does not is not.
func TestKeys(t *testing.T) {
	j := jobs(t, settings)[0]
	key := func(change func(*runs.Description)) string {
		other := *j
		other.Scenario.Steps = append([]scenarios.Step{}, j.Scenario.Steps...)
		change(&other.Description)
		return other.Key()
	}
	for what, change := range map[string]func(*runs.Description){
		"the line":    func(d *runs.Description) { d.Scenario.Line, d.Scenario.Steps[1].Line = 7, 9 },
		"the folder":  func(d *runs.Description) { d.Scenario.File, d.Site.File = "x/"+d.Scenario.File, "y.yaml" },
		"the timeout": func(d *runs.Description) { d.Timeout = time.Hour },
	} {
		assert.Equal(t, j.Key(), key(change), "%s decides about nothing", what)
	}
	for what, change := range map[string]func(*runs.Description){
		"the site":       func(d *runs.Description) { d.Site.Text += "\n" },
		"a step":         func(d *runs.Description) { d.Scenario.Steps[1].Text += " " },
		"the name":       func(d *runs.Description) { d.Scenario.Name += "s" },
		"the seed":       func(d *runs.Description) { d.Seed++ },
		"the controller": func(d *runs.Description) { d.Stand.Identity = "b" },
		"the proof":      func(d *runs.Description) { d.Proof = runs.Unproven },
		"the models":     func(d *runs.Description) { d.Models++ },
	} {
		assert.NotEqual(t, j.Key(), key(change), "another result may come of another %s", what)
	}
}

func TestDescriptionsThatCannotBeRead(t *testing.T) {
	for text, want := range map[string]string{
		"{":              "the description of a run: ",
		`{"format":"x"}`: `format "x" version 0; expected "ullage run" version 1`,
		`{"format":"ullage run","version":1,"models":0}`: "version 0 of the models",
		`{"format":"ullage run","version":1,"models":` + fmt.Sprint(runs.Models()) +
			`,"scenario":{"steps":[{"kind":"Whenever"}]}}`: `read "Whenever"`,
	} {
		_, err := runs.Read([]byte(text))
		assert.ErrorContains(t, err, want)
	}
}

// counting is a runner that counts.
type counting struct {
	runs.Runner
	n atomic.Int64
}

func (c *counting) Run(ctx context.Context, j *runs.Job, watch ...signal.Sink) *harness.Result {
	c.n.Add(1)
	return c.Runner.Run(ctx, j, watch...)
}

// What a store holds is not run again, also when it was closed and opened in between.
func TestKept(t *testing.T) {
	folder := t.TempDir()
	list := jobs(t, settings)
	file, err := runs.OpenFile(folder, "kept")
	require.NoError(t, err)
	for name, store := range map[string]runs.Store{"memory": &runs.Memory{}, "file": file} {
		c := &counting{Runner: runs.Local(simulated)}
		kept := runs.Kept{Store: store, Runner: c}
		for range 2 {
			for _, j := range list {
				same(t, runs.Local(simulated).Run(t.Context(), j), kept.Run(t.Context(), j))
			}
		}
		assert.EqualValues(t, len(list), c.n.Load(), "%s: runs for jobs that were done twice", name)
	}
	require.NoError(t, file.Close())
	file, err = runs.OpenFile(folder, "kept")
	require.NoError(t, err)
	defer file.Close()
	c := &counting{Runner: runs.Local(simulated)}
	same(t, runs.Local(simulated).Run(t.Context(), list[0]),
		runs.Kept{Store: file, Runner: c}.Run(t.Context(), list[0]))
	assert.Zero(t, c.n.Load(), "what the file holds was run again")
}

// What was not made is tried again: nothing of it is kept.
func TestFailuresAreNotKept(t *testing.T) {
	list := jobs(t, settings)
	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	broken := func(runs.Settings, harness.Sites) (harness.Builder, harness.Proof, error) {
		return nil, nil, errors.New("no such program")
	}
	for name, try := range map[string]struct {
		ctx    context.Context
		runner runs.Runner
		want   string
	}{"stopped": {cancelled, runs.Local(simulated), "it was stopped: "}, "not made": {t.Context(), runs.Local(broken),
		"no such program"}} {
		store := &runs.Memory{}
		r := runs.Kept{Store: store, Runner: try.runner}.Run(try.ctx, list[0])
		require.ErrorContains(t, r.Err, try.want, name)
		found, err := store.Find(list[0].Key(), &json.RawMessage{})
		require.NoError(t, err)
		assert.False(t, found, name)
	}
}

func TestFile(t *testing.T) {
	folder := t.TempDir()
	open := func() (*runs.File, error) { return runs.OpenFile(folder, "a") }
	s, err := open()
	require.NoError(t, err)
	require.NoError(t, s.Put("k", "v"))

	_, err = open()
	var held *lockfile.HeldError
	require.ErrorAs(t, err, &held, "two have the store open at a time")
	assert.ErrorContains(t, err, "; wait until that has ended, or name another folder with --results")
	require.NoError(t, s.Close())

	f, err := os.OpenFile(s.Name(), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString(`{"key":"l","val`)
	require.NoError(t, errors.Join(err, f.Close()))
	s, err = open()
	require.NoError(t, err, "a line that was cut off by a kill")
	require.NoError(t, s.Put("m", "w"))
	var value string
	for key, want := range map[string]string{"k": "v", "m": "w"} {
		found, err := s.Find(key, &value)
		require.NoError(t, err)
		assert.True(t, found)
		assert.Equal(t, want, value)
	}
	assert.Equal(t, 2, s.Len())
	require.NoError(t, s.Close())

	text, err := os.ReadFile(s.Name())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(s.Name(), append([]byte("{}\n"), text...), 0o666))
	_, err = open()
	assert.ErrorContains(t, err, "a.jsonl:1: expected a kept result")

	require.NoError(t, os.Remove(s.Name()))
	other := filepath.Join(folder, "elsewhere")
	require.NoError(t, os.WriteFile(other, []byte("mine"), 0o666))
	require.NoError(t, os.Symlink(other, s.Name()))
	_, err = open()
	assert.ErrorContains(t, err, "is no regular file")
	mine, _ := os.ReadFile(other)
	assert.Equal(t, "mine", string(mine), "a link was followed")
}

// Whatever bit of a kept result is flipped: it is refused, or it is no longer there, and never another result.
func TestADamagedResultIsNotTakenForAnother(t *testing.T) {
	folder := t.TempDir()
	s, err := runs.OpenFile(folder, "a")
	require.NoError(t, err)
	require.NoError(t, s.Put("k", map[string]any{"margin": -0.125, "text": "a < b"}))
	path := s.Name()
	require.NoError(t, s.Close())
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	refused := 0
	for i := range len(whole) * 8 {
		text := slices.Clone(whole)
		text[i/8] ^= 1 << (i % 8)
		require.NoError(t, os.WriteFile(path, text, 0o666))
		s, err := runs.OpenFile(folder, "a")
		if err != nil {
			assert.ErrorContains(t, err, "remove the file to begin anew")
			refused++
			continue
		}
		var value struct {
			Margin float64
			Text   string
		}
		found, err := s.Find("k", &value)
		require.NoError(t, err)
		if found {
			assert.Equal(t, -0.125, value.Margin, "%s", text)
			assert.Equal(t, "a < b", value.Text, "%s", text)
		}
		require.NoError(t, s.Close())
	}
	assert.Greater(t, refused, len(whole)*7)
}

// A child that hangs or crashes costs its job and nothing else.
func TestWorkersThatFail(t *testing.T) {
	short := settings
	short.Timeout = 50 * time.Millisecond
	j := jobs(t, short)[0]
	t.Run("hangs", func(t *testing.T) {
		r := workers(t, "hangs").Run(t.Context(), j)
		assert.Equal(t, outcome.Broken, r.Worst())
		assert.ErrorContains(t, r.Err, "did not answer within")
	})
	t.Run("crashes", func(t *testing.T) {
		r := workers(t, "crashes").Run(t.Context(), j)
		assert.Equal(t, outcome.Broken, r.Worst())
		assert.ErrorContains(t, r.Err, "out of memory", "what the child said last")
	})
	t.Run("stopped", func(t *testing.T) {
		ctx, cancel := context.WithCancelCause(t.Context())
		time.AfterFunc(100*time.Millisecond, func() { cancel(errors.New("interrupted")) })
		r := workers(t, "hangs").Run(ctx, jobs(t, settings)[0])
		assert.Equal(t, outcome.NotRun, r.Worst())
		assert.ErrorContains(t, r.Err, "it was stopped: interrupted")
	})
	t.Run("stopped with something to clean up", func(t *testing.T) {
		started := filepath.Join(t.TempDir(), "started")
		t.Setenv("RUNS_STARTED", started)
		ctx, cancel := context.WithCancel(t.Context())
		go func() {
			for ctx.Err() == nil {
				if _, err := os.Stat(started); err == nil {
					cancel()
				}
				time.Sleep(10 * time.Millisecond)
			}
		}()
		workers(t, "cleans up").Run(ctx, jobs(t, settings)[0])
		assert.NoFileExists(t, started, "the child was killed before it had ended what it had started")
	})
	t.Run("no program", func(t *testing.T) {
		r := runs.NewWorkers(filepath.Join(t.TempDir(), "none")).Run(t.Context(), j)
		assert.ErrorContains(t, r.Err, "starting a process for runs")
	})
}

func TestServeAnswersWhatItCannotRead(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, runs.Serve(t.Context(), runs.Local(simulated), io.MultiReader(strings.NewReader("\n{}\nx")),
		&out))
	assert.Equal(t, 2, strings.Count(out.String(), `"error":`), out.String())
}

func TestEach(t *testing.T) {
	var sum, now, most atomic.Int64
	require.NoError(t, runs.Each(t.Context(), 100, 3, func(_ context.Context, i int) error {
		most.Store(max(most.Load(), now.Add(1)))
		sum.Add(int64(i))
		now.Add(-1)
		return nil
	}))
	assert.EqualValues(t, 4950, sum.Load())
	assert.LessOrEqual(t, most.Load(), int64(3))
	enough := errors.New("enough")
	done := 0
	assert.Equal(t, enough, runs.Each(t.Context(), 100, 1, func(context.Context, int) error {
		if done++; done == 5 {
			return enough
		}
		return nil
	}))
	assert.Equal(t, 5, done, "calls until one failed")
	require.NoError(t, runs.Each(t.Context(), 0, 0, nil))
}
