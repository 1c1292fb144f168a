package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/evidence"
)

// TestProvenance: a run says what it was made with, by content.
func TestProvenance(t *testing.T) {
	dir := t.TempDir()
	hash := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		return hex.EncodeToString(sum[:])
	}
	site, err := os.ReadFile("../../features/sites/tern-lane.yaml")
	require.NoError(t, err)
	for name, text := range map[string]string{"a.feature": broken, "other.feature": "Feature: o\n", "tern-lane.yaml": string(site), "program": "#!/bin/sh\nexit 3\n"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o777))
	}
	ullage(t, dir, "run", "a.feature", "--controller", "exec:./program --fast", "--seed", "7")
	text, err := os.ReadFile(filepath.Join("evidence", evidence.ProvenanceFile))
	require.NoError(t, err)
	var p evidence.Provenance
	require.NoError(t, json.Unmarshal(text, &p))
	assert.Equal(
		t,
		[]evidence.FileUsed{
			{Name: "a.feature", SHA256: hash(broken)},
			{Name: "tern-lane.yaml", SHA256: hash(string(site))},
		},
		p.Inputs,
	)
	assert.Equal(t, evidence.ControllerUsed{Name: "exec:./program --fast", Command: []string{"./program", "--fast"},
		Files: []evidence.FileUsed{{Name: "./program", SHA256: hash("#!/bin/sh\nexit 3\n")}}}, p.Controller)
	assert.Equal(t, uint64(7), p.Seed)
	assert.Equal(t, evidence.Version, p.Tool.Schemas[evidence.Format])
	assert.NotEmpty(t, p.Host.OS)
	assert.Regexp(t, `^20\d\d-\d\d-\d\dT\d\d:\d\d:\d\dZ$`, p.Started)
}

// How a controller reacts is printed by check, as the site file says, and kept in the provenance, as the controller
// says.
func TestReactsAreReported(t *testing.T) {
	dir := t.TempDir()
	site, err := os.ReadFile("../../features/sites/tern-lane.yaml")
	require.NoError(t, err)
	text := strings.Replace(
		string(site),
		"\n  settings:\n",
		"\n  reacts: {polls: 30 ms, silent-after: 1 min}\n  settings:\n",
		1,
	)
	require.NotEqual(t, string(site), text)
	for name, text := range map[string]string{"a.feature": broken, "tern-lane.yaml": text} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	_, out, _ := ullage(t, dir, "check", "a.feature", "tern-lane.yaml")
	assert.Contains(
		t,
		strings.Join(strings.Fields(out), " "),
		"tern-lane: controller reacts: polls 30 ms, (acts-within 1 s),",
		out,
	)
	ullage(t, dir, "run", "a.feature", "--nominal")
	written, err := os.ReadFile(filepath.Join("evidence", evidence.ProvenanceFile))
	require.NoError(t, err)
	var p evidence.Provenance
	require.NoError(t, json.Unmarshal(written, &p))
	reacts := p.Controller.Reacts["tern-lane"]
	assert.Len(t, reacts, 11)
	assert.Zero(t, reacts["polls"], "the simulated controller does not poll, whatever the file says of a make")
	assert.Equal(t, 0.5, reacts["debounce/to"], "the debounce of the settings")
}
