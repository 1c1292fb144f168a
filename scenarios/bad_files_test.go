package scenarios_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/features"
	"ullage/scenarios"
)

// A scenario that is sound, to be written wrongly.
const sound = `Feature: f
  Scenario: A
    Given the site "tern-lane"
    When 1 hour passes
    Then no alert arrives
`

// badFiles are feature and site files with a mistake that would otherwise go unseen, or be blamed on something else.
func badFiles(t testing.TB) []struct {
	name  string
	files map[string]string
} {
	yard, err := features.Files.ReadFile("sites/tern-lane.yaml")
	require.NoError(t, err)
	other := strings.Replace(string(yard), "Tern Lane", "Elsewhere", 1)
	atYard := strings.ReplaceAll(sound, "tern-lane", "yard")
	outline := strings.Replace(sound, "Scenario:", "Scenario Outline:", 1)
	return []struct {
		name  string
		files map[string]string
	}{
		{"a first scenario without its colon", map[string]string{"a.feature": strings.Replace(sound, ": A", " A", 1)}},
		{"a later scenario without its colon", map[string]string{"a.feature": sound + "\n  Scenario B\n    Given x\n"}},
		{"a rule without its colon", map[string]string{"a.feature": "Feature: f\n  Rule no spill\n    Given x\n"}},
		{"a heading in small letters", map[string]string{"a.feature": strings.Replace(sound, "Scenario", "scenario", 1)}},
		{"a word that begins no step", map[string]string{"a.feature": sound + "    Whenever it rains\n"}},
		{"two scenarios of one name", map[string]string{"a.feature": sound + strings.TrimPrefix(sound, "Feature: f\n")}},
		{"an outline without Examples", map[string]string{"a.feature": outline}},
		{"an outline without rows", map[string]string{"a.feature": outline + "    Examples:\n      | t |\n"}},
		{"a place that no column fills", map[string]string{"a.feature": strings.Replace(outline, "1 hour", "<time>", 1) +
			"    Examples:\n      | hour |\n      | 1 h  |\n"}},
		{"a feature file in Latin-1", map[string]string{"a.feature": strings.Replace(sound, "A", "The G\xe4rtners", 1)}},
		{"a feature file in UTF-16", map[string]string{"a.feature": "\xff\xfeF\x00e\x00a\x00"}},
		{"an empty feature file", map[string]string{"a.feature": ""}},
		{"an empty site file", map[string]string{"a.feature": atYard, "yard.yaml": ""}},
		{"a site file in Latin-1", map[string]string{"a.feature": atYard,
			"yard.yaml": strings.Replace(string(yard), "Tern Lane", "G\xe4rtnerei", 1)}},
		{"a site file that is none", map[string]string{"a.feature": atYard, "yard.yaml": "services: {web: 1}\n"}},
		{"a mistake of a site", map[string]string{"a.feature": atYard + strings.Replace(
			strings.TrimPrefix(atYard, "Feature: f\n"), "A", "B", 1),
			"yard.yaml": strings.Replace(string(yard), "rim: 880 mm", "rim: 880 bar", 1)}},
		{"two sites of one name", map[string]string{"a.feature": atYard, "sites/yard.yaml": string(yard),
			"yard.yaml": other}},
	}
}

// Each such file is refused, with its place, what was read and what was expected, and is refused once.
func TestBadFiles(t *testing.T) {
	var out bytes.Buffer
	for _, bad := range badFiles(t) {
		fsys := fstest.MapFS{"sites/tern-lane.yaml": {Data: siteText(t)}}
		for name, text := range bad.files {
			fsys[name] = &fstest.MapFile{Data: []byte(text)}
		}
		l, err := scenarios.Open(fsys)
		require.NoError(t, err)
		_, problems, err := scenarios.Check(t.Context(), l, scenarios.Selection{})
		assert.NotEmpty(t, problems, "nothing is said of %s", bad.name)
		fmt.Fprintf(&out, "%s\n%v\n", bad.name, problems)
		if err != nil {
			fmt.Fprintf(&out, "error: %v\n", err)
		}
		fmt.Fprintln(&out)
	}
	path := filepath.Join("testdata", "bad-files.golden")
	if flag.Lookup("update").Value.String() == "true" {
		require.NoError(t, os.WriteFile(path, out.Bytes(), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), out.String())
}

func siteText(t testing.TB) []byte {
	text, err := features.Files.ReadFile("sites/tern-lane.yaml")
	require.NoError(t, err)
	return text
}

// What begins with a byte order mark is a site file all the same, and a line of prose that begins with a word of the
// headings is prose.
func TestFilesThatOnlyLookBad(t *testing.T) {
	l, err := scenarios.Open(fstest.MapFS{
		"yard.yaml": {Data: append([]byte("\ufeff"), siteText(t)...)},
		"a.feature": {Data: []byte("Feature: f\n  Rules of the trade, and\n  examples of them, in\n  Background light.\n" +
			"  @of-our-own @default-on @made-up\n" + strings.TrimPrefix(strings.ReplaceAll(sound, "tern-lane", "yard"),
			"Feature: f\n"))},
	})
	require.NoError(t, err)
	chosen, problems, err := scenarios.Check(t.Context(), l, scenarios.Selection{})
	require.NoError(t, err)
	assert.Empty(t, problems)
	assert.Len(t, chosen, 1)
	assert.Equal(t, []string{"yard"}, l.Checked(chosen))
}

// A check counts the sites that it is about, and not those that are shipped besides.
func TestCheckedSites(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		return path
	}
	feature := write("a.feature", sound)
	site := write("yard.yaml", string(siteText(t)))
	for _, test := range []struct{ paths, want []string }{
		{[]string{feature}, []string{"tern-lane"}},
		{[]string{site}, []string{"yard"}},
		{[]string{feature, site}, []string{"tern-lane", "yard"}},
		{[]string{dir}, []string{"tern-lane", "yard"}},
	} {
		l, spots, err := scenarios.Load(features.Files, test.paths)
		require.NoError(t, err)
		chosen, problems, err := scenarios.Check(t.Context(), l, scenarios.Selection{Spots: spots})
		require.NoError(t, err)
		assert.Empty(t, problems)
		assert.Equal(t, test.want, l.Checked(chosen), "%v", test.paths)
	}
}
