package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSweep(t *testing.T) {
	known := filepath.Join(t.TempDir(), "known.txt")
	require.NoError(t, os.WriteFile(known, []byte("valve.stuck-open:top-up  # the overflow carries it\n"), 0o666))
	wrong := filepath.Join(t.TempDir(), "wrong.txt")
	require.NoError(t, os.WriteFile(wrong, []byte("valve.stuck-open:drip\n"), 0o666))
	own := filepath.Join(t.TempDir(), "my-sump.yaml")
	site, err := os.ReadFile("../../features/sites/fish-house-sump.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(own, site, 0o666))
	stuck := []string{"--only", "valve.stuck-open"}
	for _, c := range []struct {
		name   string
		args   []string
		status int
		out    string
		err    string
	}{
		{"protected", []string{"fish-house-sump", "--only", "contact.jammed-released:sump-high"}, exitHeld, "BREAK A LIMIT: 0", " trials and 0 pairs in "},
		{"not protected", append([]string{"fish-house-sump"}, stuck...), exitFailed, "BREAK A LIMIT: 1\nvalve.stuck-open:top-up", ""},
		{"accepted", append([]string{"fish-house-sump", "--accept", known}, stuck...), exitHeld, "valve.stuck-open:top-up  (accepted)", ""},
		{"a site file", append([]string{own}, stuck...), exitFailed, "SWEEP OF my-sump", ""},
		{"a trial", []string{"fish-house-sump", "--trial", "valve.stuck-open:top-up:fill:closing"}, exitFailed,
			`When as the valve "top-up" begins to close, the valve "top-up" sticks open`, ""},
		{"a command for a site file", append([]string{own, "--lost", "1 m3"}, stuck...), exitFailed,
			"\n    ullage sweep " + own + " --lost '1 m3' --trial valve.stuck-open:top-up:fill:closing\n", ""},
		{"a site file of that name", []string{strings.TrimSuffix(own, ".yaml")}, exitBroken, "", own + " lies there: name that file"},
		{"a trial's own command", []string{own, "--trial", "valve.stuck-open:top-up:fill:closing"}, exitFailed,
			"# ullage sweep " + own + " --trial valve.stuck-open:top-up:fill:closing\nFeature: ", ""},
		{"again", []string{own, "--trial", "valve.stuck-open:top-up:fill:closing"}, exitFailed, "fill_closing.feature:4 --seed 1 " + own + "\n", ""},
		{"a trial of a site file", []string{own, "--trial", "contact.jammed-released:sump-high:fill:opening"}, exitHeld, "1 scenario: 1 held", ""},
		{"another limit", append([]string{"fish-house-sump", "--lost", "1 m3"}, stuck...), exitFailed, "runs through the valve", ""},
		{"a misspelt trial", []string{"fish-house-sump", "--trial", "valve.stuck-open:top-up:fill:closin"}, exitBroken, "",
			`the nearest is "valve.stuck-open:top-up:fill:closing"`},
		{"a misspelt fault", []string{"fish-house-sump", "--only", "valve.stuck-opn"}, exitBroken, "", `did you mean "valve.stuck-open"?`},
		{"a declared fault", []string{"fish-house-sump", "--only", "wifi.weak"}, exitBroken, "", "wifi.weak is listed, not yet simulated"},
		{"a trial of a declared fault", []string{"fish-house-sump", "--trial", "wifi.weak:wifi:idle:idle"}, exitBroken, "", "there is no such trial on this site; wifi.weak is listed, not yet simulated"},
		{"accepted on what is not there", []string{"fish-house-sump", "--accept", wrong}, exitBroken, "", `wrong.txt:1: read "valve.stuck-open:drip"; expected`},
		{"a misspelt site", []string{"fern-hous"}, exitBroken, "", `did you mean "fern-house"?`},
		{"a limit of another kind", []string{"fish-house-sump", "--dry", "10 L"}, exitBroken, "", `invalid argument "10 L" for "--dry" flag: `},
		{"a limit of nothing", []string{"fish-house-sump", "--lost", "0 L"}, exitBroken, "", `invalid argument "0 L" for "--lost" flag: expected a volume above 0`},
		{"no site", nil, exitBroken, "", "expected a site file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, errOut bytes.Buffer
			folder := t.TempDir()
			args := append(
				[]string{
					"sweep",
					"--results",
					filepath.Join(folder, "sweep"),
					"--evidence",
					filepath.Join(folder, "evidence"),
				},
				c.args...)
			assert.Equal(
				t,
				c.status,
				execute(context.Background(), args, &out, &errOut),
				"%s%s",
				out.String(),
				errOut.String(),
			)
			assert.Contains(t, out.String(), c.out)
			assert.Contains(t, errOut.String(), c.err)
		})
	}
}

// A sweep that is told to end keeps what it has, as one that is interrupted.
func TestSweepIsTerminated(t *testing.T) {
	folder := t.TempDir()
	c := program(t, folder, nil, "sweep", "otter-pool", "--jobs", "1")
	var errOut bytes.Buffer
	c.Stderr = &errOut
	require.NoError(t, c.Start())
	require.Eventually(t, func() bool {
		kept, _ := filepath.Glob(filepath.Join(folder, "sweep", "*.jsonl"))
		if len(kept) == 0 {
			return false
		}
		info, err := os.Stat(kept[0])
		return err == nil && info.Size() > 0
	}, time.Minute, 20*time.Millisecond, "no result is kept")
	require.NoError(t, c.Process.Signal(syscall.SIGTERM))
	var exit *exec.ExitError
	require.ErrorAs(t, c.Wait(), &exit)
	assert.Equal(t, exitBroken, exit.ExitCode())
	assert.Contains(t, errOut.String(), "and the same command goes on from there")
}

// The JSON has the same cells as the report, and --save leaves a feature file for each single fault that nothing
// protects against.
func TestSweepForMachines(t *testing.T) {
	folder := t.TempDir()
	var out, errOut bytes.Buffer
	status := execute(
		context.Background(),
		[]string{"sweep", "fish-house-sump", "--results", folder, "--only", "valve.stuck-open", "--json", "--save"},
		&out,
		&errOut,
	)
	require.Equal(t, exitFailed, status, errOut.String())
	var report struct {
		Unsafe []string
		Trials []struct{ ID, State string }
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &report))
	assert.Equal(t, []string{"valve.stuck-open:top-up"}, report.Unsafe)
	assert.Len(t, report.Trials, 9, "three stories: idle, booting, four moments of the fill, and all along in each")
	saved, err := filepath.Glob(filepath.Join(folder, "*", "*.feature"))
	require.NoError(t, err)
	require.Len(t, saved, 1)
	assert.Equal(
		t,
		exitHeld,
		execute(context.Background(), []string{"check", saved[0]}, &out, &errOut),
		errOut.String(),
	)
}
