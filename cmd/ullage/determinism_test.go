package main

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestMain lets the test binary stand in for the program, so that tests run it as a process of its own.
func TestMain(m *testing.M) {
	if os.Getenv("ULLAGE_AS_PROGRAM") != "" {
		os.Exit(standalone())
	}
	os.Exit(m.Run())
}

// program is the command that runs ullage as a process, in a folder, with further environment.
func program(t *testing.T, dir string, env []string, args ...string) *exec.Cmd {
	self, err := os.Executable()
	require.NoError(t, err)
	c := exec.Command(self, args...)
	c.Dir = dir
	c.Env = append(append(os.Environ(), "ULLAGE_AS_PROGRAM=1"), env...)
	return c
}

// The same inputs give the same evidence to the byte in another process, with another number of processors at work, in
// another order of scenarios, and on a CPU without fused multiply-add. Each way differs in several things at once:
// every run takes seconds. The long test does it with the whole suite.
func TestSameBytes(t *testing.T) {
	sameBytes(t, "features/surge.feature", "features/overheating.feature", "features/backflow.feature")
}
func TestLongSameBytes(t *testing.T) { sameBytes(t) }

func sameBytes(t *testing.T, features ...string) {
	ways := []struct {
		name string
		env  []string
		args []string
	}{
		{"first", nil, nil},
		{"four processors, shuffled", []string{"GOMAXPROCS=4"}, []string{"--shuffle", "7"}},
		{
			"one processor, without fused multiply-add",
			[]string{"GOMAXPROCS=1", "GODEBUG=cpu.fma=off,cpu.avx2=off,cpu.avx=off"},
			nil,
		},
	}
	var first map[string]string
	for _, way := range ways {
		dir := t.TempDir()
		out, err := program(
			t,
			dir,
			way.env,
			slices.Concat([]string{"run", "--evidence", "evidence"}, way.args, features)...).CombinedOutput()
		require.NoError(t, err, "%s: %s", way.name, out)
		got := files(t, filepath.Join(dir, "evidence"))
		delete(got, "provenance.json") // which says when, where and how
		got["what it prints"] = string(out)
		if first == nil {
			first = got
			require.Contains(t, first, "run.json", "there is no evidence to compare")
			continue
		}
		for name, content := range first {
			require.Equal(t, content, got[name], "%s: %s differs", way.name, name)
		}
		require.Len(t, got, len(first), "%s: other files", way.name)
	}
}

// files are the contents of a folder; large ones as their hash.
func files(t *testing.T, dir string) map[string]string {
	contents := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		sum := sha256.Sum256(text)
		contents[strings.TrimPrefix(path, dir+string(filepath.Separator))] = hex.EncodeToString(sum[:])
		return err
	})
	require.NoError(t, err)
	return contents
}
