package flows_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/cmd/ullage/internal/flows"
	"ullage/features"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

var update = flag.Bool("update", false, "write the golden files anew")

func shipped(t *testing.T, name string) *sitefile.Site {
	t.Helper()
	text, err := features.Files.ReadFile("sites/" + name + ".yaml")
	require.NoError(t, err)
	site, err := sitefile.Read(name+".yaml", text)
	require.NoError(t, err)
	return site
}

// TestShippedSites compares what is printed of every shipped site with testdata. Renew it with -update, and commit only
// what you understand.
func TestShippedSites(t *testing.T) {
	sites, err := features.Files.ReadDir("sites")
	require.NoError(t, err)
	for _, entry := range sites {
		name := entry.Name()[:len(entry.Name())-len(".yaml")]
		t.Run(name, func(t *testing.T) {
			r := of(t, shipped(t, name))
			var metric, us bytes.Buffer
			require.NoError(t, flows.Print(&metric, r, quantity.Metric, 0, false))
			require.NoError(t, flows.Print(&us, r, quantity.US, 0, false))
			text, err := json.MarshalIndent(r, "", "  ")
			require.NoError(t, err)
			golden(t, name+".txt", metric.Bytes())
			golden(t, name+".us.txt", us.Bytes())
			golden(t, name+".json", append(text, '\n'))
		})
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o777))
		require.NoError(t, os.WriteFile(path, got, 0o666))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got), "%s differs; renew it with -update", path)
}

// TestSiteStaysAsItIs: a report changes nothing, and two of them are the same.
func TestSiteStaysAsItIs(t *testing.T) {
	site := shipped(t, "tern-lane")
	before := site.Copy()
	first, second := of(t, site), of(t, site)
	assert.Equal(t, before, site)
	a, err := json.Marshal(first)
	require.NoError(t, err)
	b, err := json.Marshal(second)
	require.NoError(t, err)
	assert.Equal(t, string(a), string(b))
}
