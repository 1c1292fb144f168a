package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ullage runs the program in a folder and returns its status and what it printed.
func ullage(t *testing.T, dir string, args ...string) (status int, out, errOut string) {
	t.Chdir(dir)
	var o, e bytes.Buffer
	status = execute(context.Background(), args, &o, &e)
	return status, o.String(), e.String()
}

// TestReadmeExamples: the examples of the README print what the README says.
func TestReadmeExamples(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	after := func(words string) string { // the first block after these words
		_, rest, found := strings.Cut(string(text), words)
		require.True(t, found, "the README does not say %q", words)
		return regexp.MustCompile("(?s)```[a-z]*\n(.*?)```").FindStringSubmatch(rest)[1]
	}
	feature, output := after("`night.feature`:"), after("`go run ./cmd/ullage run night.feature` answers")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "night.feature"), []byte(feature), 0o666))
	status, out, errOut := ullage(t, dir, "run", "night.feature")
	assert.Equal(t, exitHeld, status, errOut)
	assert.Equal(
		t,
		strings.TrimSpace(output),
		strings.TrimSpace(out),
		"the README shows something else than the program prints",
	)

	least := regexp.MustCompile(`rim of "header-tank" +([0-9.]+ mm)`).FindStringSubmatch(out)
	require.NotNil(t, least)
	assert.Contains(
		t,
		string(text),
		"stops "+least[1]+" below the rim",
		"the picture of the README is an old one: draw it again",
	)

	status, out, errOut = ullage(t, dir, "flows", "fish-house-sump")
	assert.Equal(t, exitHeld, status, errOut)
	assert.Equal(
		t,
		strings.TrimSpace(after("`ullage flows fish-house-sump` answers")),
		strings.TrimSpace(out),
		"the README shows something else than the program prints",
	)
}

// TestReadmeCommands: the table of the README has every command, and the flags that a row names are flags of its command.
func TestReadmeCommands(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	rows := map[string]string{}
	for _, row := range regexp.MustCompile("(?m)^\\| `ullage ([a-z]+)[^`]*` \\|(.*)$").FindAllStringSubmatch(string(text), -1) {
		rows[row[1]] = row[2]
	}
	_, help, _ := ullage(t, t.TempDir(), "--help")
	for _, c := range regexp.MustCompile(`(?m)^  ([a-z]+) {2,}\S`).FindAllStringSubmatch(help, -1) {
		if c[1] == "help" || c[1] == "completion" {
			continue
		}
		require.Contains(t, rows, c[1], "the table of the README lacks a command")
		_, usage, _ := ullage(t, t.TempDir(), c[1], "--help")
		for _, flag := range regexp.MustCompile("`(--[a-z]+)").FindAllStringSubmatch(rows[c[1]], -1) {
			assert.Contains(t, usage, flag[1]+" ", "the README names a flag that ullage %s does not have", c[1])
		}
		delete(rows, c[1])
	}
	assert.Empty(t, rows, "the README names commands that do not exist")
}

// broken is a scenario of which one outcome fails, one is not exercised, and one holds.
const broken = `Feature: f
  Scenario: A long draw
    Given the site "tern-lane"
    When 200 L are drawn from "header-tank" within 10 min
    And 1 hour passes
    Then the level in "header-tank" stays above 400 mm
    And the level in "header-tank" stays below 800 mm
`

func TestStatus(t *testing.T) {
	tests := []struct {
		name    string
		feature string
		args    []string
		status  int
		says    string
	}{
		{"failed", broken, []string{"run", "a.feature"}, exitFailed, "repeat: ullage run a.feature:2 --seed 1"},
		{
			"held",
			strings.Replace(broken, "above 400 mm", "above 100 mm", 1),
			[]string{"run", "a.feature"},
			exitHeld,
			"1 scenario: 1 held",
		},
		{
			"not exercised",
			"Feature: f\n  Scenario: s\n    Given the site \"tern-lane\"\n    And it is Monday 02:00\n    When the contact \"tank-spill\" bounces for 1 s with 4 edges at each change\n    And 1 min passes\n    Then the valve \"top-up\" never opens\n",
			[]string{"run", "a.feature"},
			exitFailed,
			"1 not exercised",
		},
		{
			"undefined phrase",
			strings.Replace(broken, "stays above", "remains over", 1),
			[]string{"run", "a.feature"},
			exitBroken,
			"could not be made",
		},
		{
			"unknown tag",
			broken,
			[]string{"run", "--tags", "@nothing", "a.feature"},
			exitBroken,
			"no scenario has the tag @nothing",
		},
		{
			"an old filter of tags",
			broken,
			[]string{"run", "--tags", "~@a && @b", "a.feature"},
			exitBroken,
			`write "not @a and @b"`,
		},
		{"no such file", broken, []string{"run", "b.feature"}, exitBroken, "b.feature"},
		{"no such line", broken, []string{"run", "a.feature:99"}, exitBroken, "has no scenario at line 99"},
		{
			"unknown controller",
			broken,
			[]string{"run", "--controller", "real", "a.feature"},
			exitBroken,
			"expected simulated, or exec:",
		},
		{
			"unknown network",
			broken,
			[]string{"run", "--network", "lora", "a.feature"},
			exitBroken,
			`--network "lora": expected none or simulated`,
		},
		{
			"unknown site maker",
			broken,
			[]string{"run", "--site", "tern-lane", "a.feature"},
			exitBroken,
			`--site "tern-lane": expected simulated`,
		},
		{
			"unknown clock",
			broken,
			[]string{"run", "--clock", "slow", "a.feature"},
			exitBroken,
			`--clock "slow": expected virtual or wall`,
		},
		{
			"an alert without a network",
			"Feature: f\n  Scenario: s\n    Given the site \"tern-lane\"\n    When 1 min passes\n    Then no alert arrives\n",
			[]string{"run", "--network", "none", "a.feature"},
			exitBroken,
			"1 not run",
		},
		{
			"unknown proof",
			broken,
			[]string{"run", "--proof", "half-open", "a.feature"},
			exitBroken,
			`--proof "half-open": expected closed-loop or open-loop`,
		},
		{
			"proven open-loop",
			strings.Replace(broken, "above 400 mm", "above 100 mm", 1),
			[]string{"run", "--proof", "open-loop", "a.feature"},
			exitHeld,
			"1 scenario: 1 held",
		},
		{
			"program is not there",
			broken,
			[]string{"run", "--controller", "exec:./nothing", "a.feature"},
			exitBroken,
			"./nothing",
		},
		{"unknown verb", broken, []string{"rum"}, exitBroken, "ullage --help"},
		{"check", broken, []string{"check", "a.feature"}, exitHeld, "no errors"},
		{
			"check of a mistake",
			strings.Replace(broken, "header-tank", "haeder-tank", 1),
			[]string{"check", "a.feature"},
			exitBroken,
			"header-tank",
		},
		{"compare with nothing", broken, []string{"compare", "x", "y"}, exitBroken, "x"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "a.feature"), []byte(test.feature), 0o666))
			status, out, errOut := ullage(t, dir, test.args...)
			assert.Equal(t, test.status, status, "%s\n%s", out, errOut)
			assert.Contains(t, out+errOut, test.says)
		})
	}
}

// TestBadSite: a site file alone can be checked, and both verbs show all its mistakes with their lines.
func TestBadSite(t *testing.T) {
	dir := t.TempDir()
	good, err := os.ReadFile("../../features/sites/tern-lane.yaml")
	require.NoError(t, err)
	bad := strings.Replace(
		strings.Replace(string(good), "rim: 880 mm", "rim: 780 mm", 1),
		"bore: 20.4 mm",
		"bore: 20.4 bar",
		1,
	)
	for name, text := range map[string]string{"good.yaml": string(good), "bad.yaml": bad, "a.feature": strings.Replace(broken, "tern-lane", "bad", 1)} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	status, out, errOut := ullage(t, dir, "check", "good.yaml")
	assert.Equal(t, exitHeld, status, errOut)
	assert.Contains(t, out, "no errors")
	for _, verb := range []string{"check", "run"} {
		status, out, errOut = ullage(t, dir, verb, "a.feature", "bad.yaml")
		assert.Equal(t, exitBroken, status)
		for _, says := range []string{`read "20.4 bar": bar measures a pressure; expected a length`, `bore: 20.4 bar`, "^", `read "800 mm"; expected a crest below the rim (780 mm)`, "standpipe: {crest: 800 mm"} {
			assert.Contains(t, out+errOut, says, "%s does not show a mistake of the site file", verb)
		}
	}
	require.NoError(t, os.WriteFile("b.feature", []byte(strings.Replace(broken, "tern-lane", "good", 1)), 0o666))
	for _, verb := range []string{"check", "run"} {
		_, out, errOut = ullage(t, dir, verb, "b.feature")
		assert.NotContains(t, out+errOut, "bad.yaml", "%s complains of a site file that no scenario names", verb)
		_, out, errOut = ullage(t, dir, verb, "a.feature")
		assert.Contains(
			t,
			out+errOut,
			"standpipe: {crest: 800 mm",
			"%s tells only of the first mistake in a site beside its feature",
			verb,
		)
	}
	require.NoError(t, os.Mkdir("empty", 0o777))
	status, _, errOut = ullage(t, dir, "check", "empty")
	assert.Equal(t, exitBroken, status, "an empty folder has nothing wrong")
	assert.Contains(t, errOut, "no scenarios")
}

// TestShippedReplay: a replay line names a shipped scenario where there is no such file.
func TestShippedReplay(t *testing.T) {
	dir := t.TempDir()
	status, out, errOut := ullage(t, dir, "run", "features/flood.feature:29", "--seed", "1")
	assert.Equal(t, exitHeld, status, errOut)
	assert.Contains(t, out, "1 scenario: 1 held")
}

func TestForeignFolderIsKept(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "photos"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "photos", "cat.png"), nil, 0o666))
	status, _, errOut := ullage(t, dir, "run", "--evidence", "photos", "--name", "jams")
	assert.Equal(t, exitBroken, status)
	assert.Contains(t, errOut, "photos")
	assert.FileExists(t, filepath.Join(dir, "photos", "cat.png"), "a folder that is not ours was emptied")
}

// TestEvidenceStaysUntilSomethingRuns: a slip in what is to be run costs nobody the evidence of the last run.
func TestEvidenceStaysUntilSomethingRuns(t *testing.T) {
	dir := t.TempDir()
	site, err := os.ReadFile("../../features/sites/tern-lane.yaml")
	require.NoError(t, err)
	for name, text := range map[string]string{"a.feature": strings.Replace(broken, "400 mm", "100 mm", 1), "site.yaml": string(site), "b.feature": "Feature: f\n  Scenari: s\n"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	status, out, errOut := ullage(t, dir, "run", "a.feature", "--nominal")
	require.Equal(t, exitHeld, status, "%s %s", out, errOut)
	read := func() map[string]string {
		files := map[string]string{}
		entries, err := os.ReadDir("evidence")
		require.NoError(t, err)
		for _, e := range entries {
			text, err := os.ReadFile(filepath.Join("evidence", e.Name()))
			require.NoError(t, err)
			files[e.Name()] = string(text)
		}
		return files
	}
	before := read()
	require.Contains(t, before, "report.html")
	for _, args := range [][]string{{"a.feature:99"}, {"a.feature", "--tags", "@foo"}, {"a.feature", "--tags", "@foo&"}, {"a.feature", "--name", "nothing"},
		{"site.yaml"}, {"b.feature"}} {
		status, _, _ := ullage(t, dir, append([]string{"run"}, args...)...)
		assert.Equal(t, exitBroken, status, "%v", args)
		assert.Equal(t, before, read(), "run %v runs nothing, and the evidence of the last run is gone", args)
	}
}

func TestCompare(t *testing.T) {
	dir := t.TempDir()
	worse := strings.Replace(broken, "200 L", "220 L", 1)
	for name, feature := range map[string]string{"before": strings.Replace(broken, "400 mm", "100 mm", 1), "after": strings.Replace(worse, "400 mm", "100 mm", 1)} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "a.feature"), []byte(feature), 0o666))
		status, out, errOut := ullage(t, dir, "run", "a.feature", "--evidence", filepath.Join(dir, name))
		require.Equal(t, exitHeld, status, "%s %s", out, errOut)
	}
	status, out, errOut := ullage(t, dir, "compare", filepath.Join(dir, "before"), filepath.Join(dir, "after"))
	assert.Equal(t, exitFailed, status, errOut)
	assert.Contains(t, out, "Smaller margin")
	status, _, _ = ullage(t, dir, "compare", filepath.Join(dir, "before"), filepath.Join(dir, "before"))
	assert.Equal(t, exitHeld, status, "a run compared with itself got worse")
}

func TestSchemaAndPhrases(t *testing.T) {
	_, schema, _ := ullage(t, t.TempDir(), "schema")
	assert.True(t, json.Valid([]byte(schema)))
	_, phrases, _ := ullage(t, t.TempDir(), "phrases")
	assert.Contains(t, phrases, "Then no water goes over the rim of")
}
