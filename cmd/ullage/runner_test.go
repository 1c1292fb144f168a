package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/evidence"
)

// A run that is interrupted stops at once, leaves the evidence of what it has run, and says so.
func TestRunIsInterrupted(t *testing.T) {
	for _, args := range [][]string{{"run", "--jobs", "1"}, {"run", "--jobs", "1", "--isolate"}, {"run", "--clock", "wall", "--jobs", "2"}} {
		t.Run(strings.Join(args, " "), func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			c := program(t, dir, nil, args...)
			var errOut bytes.Buffer
			c.Stderr = &errOut
			require.NoError(t, c.Start())
			require.Eventually(t, func() bool {
				parts, _ := filepath.Glob(filepath.Join(dir, "evidence", evidence.PartialName, "*.log"))
				return len(parts) > 1
			}, time.Minute, 20*time.Millisecond, "nothing is run")
			require.NoError(t, c.Process.Signal(os.Interrupt))
			told := time.Now()
			err := c.Wait()
			assert.Less(
				t,
				time.Since(told),
				20*time.Second,
				"a run goes on after it was interrupted",
			) // a second, on a quiet machine
			exit, is := errors.AsType[*exec.ExitError](err)
			require.True(t, is, "%v", err)
			assert.Equal(t, exitBroken, exit.ExitCode(), errOut.String())
			assert.Regexp(
				t,
				`interrupt signal received: \d+ of \d+ scenarios had been run; their evidence is in evidence`,
				errOut.String(),
			)
			s, err := evidence.Read(filepath.Join(dir, "evidence"))
			require.NoError(t, err)
			assert.False(t, s.Complete, "the evidence says that the run was complete")
		})
	}
}

// A scenario that is run in a child process, or whose result was kept, leaves the same evidence.
func TestEvidenceOfOtherRunners(t *testing.T) {
	dir := t.TempDir()
	run := func(evidence string, args ...string) map[string]string {
		out, err := program(
			t,
			dir,
			nil,
			append([]string{"run", "--name", "jams", "--nominal", "--evidence", evidence}, args...)...).CombinedOutput()
		require.NoError(t, err, "%s", out)
		return files(t, filepath.Join(dir, evidence))
	}
	want := run("a")
	delete(want, evidence.ProvenanceFile) // says when
	for name, args := range map[string][]string{"b": {"--isolate"}, "c": {"--results", "kept"}, "d": {"--results", "kept"}} {
		got := run(name, args...)
		delete(got, evidence.ProvenanceFile)
		assert.Equal(t, want, got, "the evidence of a run with %v is another", args)
	}
}

// The program says what it is, and which versions of formats it reads and writes.
func TestVersion(t *testing.T) {
	status, out, _ := ullage(t, t.TempDir(), "--version")
	assert.Equal(t, exitHeld, status)
	for _, line := range []string{`(?m)^ullage `, `(?m)^commit  `, `(?m)^models +\d+$`, `(?m)^link protocol +1$`, `(?m)^site file +1$`, `(?m)^ullage log +1$`, `(?m)^ullage evidence +\d+$`, `(?m)^ullage run +1$`} {
		assert.Regexp(t, line, out)
	}
}

// What is written to a worker is answered line by line, also what it cannot read, and it ends with its input.
func TestWorker(t *testing.T) {
	c := program(t, t.TempDir(), nil, "worker")
	c.Stdin = strings.NewReader("{}\n")
	out, err := c.Output()
	require.NoError(t, err)
	assert.Contains(t, string(out), `{"error":"read a description of format`)
}

// Two commands that keep results in one folder: the second says who holds it.
func TestResultsAreHeld(t *testing.T) {
	dir := t.TempDir()
	c := program(t, dir, nil, "run", "--clock", "wall", "--results", "kept")
	require.NoError(t, c.Start())
	defer func() { _ = c.Process.Signal(syscall.SIGKILL); _ = c.Wait() }()
	require.Eventually(t, func() bool {
		kept, _ := filepath.Glob(filepath.Join(dir, "kept", "*.jsonl"))
		return len(kept) > 0
	}, time.Minute, 20*time.Millisecond)
	status, _, errOut := ullage(t, dir, "run", "--results", "kept", "--evidence", "b", "--name", "jams")
	assert.Equal(t, exitBroken, status)
	assert.Contains(t, errOut, "in use by process")
}
