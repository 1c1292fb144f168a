package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestKilledRun: while a run of hours is under way nothing else writes into its folder; when it is killed, its evidence
// opens as far as it had come.
func TestKilledRun(t *testing.T) {
	dir := t.TempDir()
	long := strings.Replace(broken, "400 mm", "100 mm", 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.feature"), []byte(long), 0o666))
	run := program(t, dir, nil, "run", "a.feature", "--clock", "wall", "--timeout", "1h")
	require.NoError(t, run.Start())
	defer func() { _ = run.Process.Kill(); _ = run.Wait() }()
	recorded := func() bool { // a change after the starting values
		logs, _ := filepath.Glob(filepath.Join(dir, "evidence", "partial", "*.log"))
		for _, name := range logs {
			if text, err := os.ReadFile(name); err == nil && strings.Contains(string(text), "000000000 ") {
				return true
			}
		}
		return false
	}
	require.Eventually(t, recorded, time.Minute, 50*time.Millisecond, "nothing of a run under way is on disk")

	for _, args := range [][]string{{"run", "a.feature"}, {"report", "evidence"}} {
		status, _, errOut := ullage(t, dir, args...)
		assert.Equal(t, exitBroken, status, "%v into the folder of another run", args)
		assert.Contains(t, errOut, fmt.Sprintf("in use by process %d since ", run.Process.Pid))
		assert.Contains(t, errOut, "run a.feature --clock wall")
	}
	status, out, errOut := ullage(t, dir, "compare", "evidence", "evidence")
	assert.Equal(t, exitHeld, status, errOut)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), fmt.Sprintf(
		"The new run is incomplete: its folder is in use by process %d since ", run.Process.Pid),
		"a run under way can be looked at")
	assert.NotContains(t, out, "broken off")

	require.NoError(t, run.Process.Kill())
	_ = run.Wait()
	status, out, errOut = ullage(t, dir, "report", "evidence")
	require.Equal(t, exitHeld, status, errOut)
	assert.Contains(t, out, "evidence: incomplete: the run was broken off. 1 scenario: 1 could not be made.")
	report, err := os.ReadFile(filepath.Join(dir, "evidence", "report.html"))
	require.NoError(t, err)
	assert.Contains(t, string(report), "Incomplete")
	assert.Contains(t, string(report), "<svg", "what was recorded is drawn")
	trace, err := os.ReadFile(filepath.Join(dir, "evidence", "trace.csv"))
	require.NoError(t, err)
	assert.Contains(t, string(trace), ",header-tank.level,")

	status, _, errOut = ullage(t, dir, "run", "a.feature", "--nominal")
	assert.Equal(t, exitHeld, status, "the folder of a killed run is refused: %s", errOut)
}
