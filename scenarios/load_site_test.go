package scenarios_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/features"
	"ullage/scenarios"
)

// Who names a site and has its file in the folder is told to name the file, by whatever asks for the site.
func TestASiteFileThatLiesThere(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("lean-to.yaml", nil, 0o666))
	const want = "lean-to.yaml lies there: name that file on the command line"
	_, err := scenarios.LoadSite(features.Files, "lean-to")
	assert.ErrorContains(t, err, want, "as sweep and flows ask")
	_, err = scenarios.LoadSite(features.Files, "./lean-to")
	assert.ErrorContains(t, err, want, "by a path")
	_, _, err = scenarios.Load(features.Files, []string{"lean-to"})
	assert.ErrorContains(t, err, want, "as run asks")
	l, _, err := scenarios.Load(features.Files, nil)
	require.NoError(t, err)
	_, err = l.Site("lean-to")
	assert.ErrorContains(t, err, want, "as a scenario asks")
	_, err = l.Site("lean-two")
	assert.NotContains(t, err.Error(), "lies there")
}
