package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/sitefile"
)

// answered is a command line that answers what a tank needs.
func answered(further ...string) []string {
	return append(
		[]string{
			"new",
			"site.yaml",
			"--static",
			"3.6 bar",
			"--bucket",
			"10 L in 20 s",
			"--residual",
			"2.4 bar",
			"--length",
			"28 m",
			"--valves",
			"top-up 3/4 in, sprays 1 in",
			"--feeds",
			"top-up: tank, 4 m",
			"--feeds",
			"sprays: 8 sprays of 2.1 L/min, 6 m",
			"--fill-time",
			"5 min 40 s",
			"--tank",
			"1000 x 500 x 880 mm",
			"--overflow",
			"standpipe 800 mm, 40 mm pipe",
			"--floor",
			"1.6 m",
		},
		further...)
}

// What new writes passes check, and the scenario that it prints runs on it and holds.
func TestNewSiteRuns(t *testing.T) {
	tests := []struct {
		name  string
		args  []string
		holds int
	}{
		{"cut-off", answered("--floats", "low 250 mm, high 720 mm, spill 770 mm"), 2},
		{"longest run", answered("--floats", "low 250 mm, high 720 mm"), 1},
		{
			"master valve",
			answered(
				"--valves",
				"master 1 in, top-up 3/4 in, sprays 1 in",
				"--feeds",
				"master: other valves",
				"--floats",
				"low 250 mm, high 720 mm, spill 770 mm",
			),
			2,
		},
		{
			"floats close together",
			answered(
				"--floats",
				"low 20 mm, high 60 mm, spill 70 mm",
				"--tank",
				"100 L, 880 mm high",
				"--fill-time",
				"10 s",
			),
			2,
		},
		{"overflow below the floats", answered("--floats", "low 250 mm, high 820 mm, spill 850 mm"), 1},
		{"all usual", []string{"new", "site.yaml", "--static", "3 bar"}, 1},
		{
			"zones alone",
			[]string{
				"new",
				"site.yaml",
				"--static",
				"52 psi",
				"--valves",
				"drip 1/2 in, sprays 1 in",
				"--feeds",
				"drip: 48 compensating drippers of 2 L/h, 12 m of 16 mm drip pipe, regulator 1.5 bar",
			},
			1,
		},
		{"alternating current", answered("--floats", "low 250 mm, high 720 mm, spill 770 mm", "--volts", "24 V AC"), 2},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			status, out, errOut := ullage(t, dir, test.args...)
			require.Equal(t, exitHeld, status, errOut)
			status, checked, _ := ullage(t, dir, "check", "site.yaml")
			require.Equal(t, exitHeld, status, checked)
			at := strings.Index(out, "Feature:")
			require.Positive(t, at, "no scenario is printed")
			require.NoError(t, os.WriteFile(filepath.Join(dir, "first.feature"), []byte(out[at:]), 0o666))
			status, ran, errOut := ullage(t, dir, "run", "first.feature")
			assert.Equal(t, exitHeld, status, "%s%s%s", out[at:], ran, errOut)
			assert.Equal(t, test.holds, strings.Count(ran, "  held\n"), ran)
		})
	}
}

// The example of the help describes a sound site.
func TestExampleOfNewIsSound(t *testing.T) {
	example := newCommand().Example
	_, flags, found := strings.Cut(example, "header-house.yaml --")
	require.True(t, found, example)
	args := []string{"new", "site.yaml"}
	for _, m := range regexp.MustCompile(`([a-z-]+) '([^']*)'`).FindAllStringSubmatch(flags, -1) {
		args = append(args, "--"+strings.TrimLeft(m[1], "-"), m[2])
	}
	status, out, errOut := ullage(t, t.TempDir(), args...)
	require.Equal(t, exitHeld, status, errOut)
	for _, bad := range []string{"CONTRADICTION", "DOUBT", "DANGER"} {
		assert.NotContains(t, out, bad, "the first thing that somebody tries")
	}
}

// The contradiction that the README shows is what the program says of such readings.
func TestReadmeContradiction(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	shown := regexp.MustCompile(`(?m)^    CONTRADICTION.*\n(?:    .*\n)*`).FindString(string(text))
	require.NotEmpty(t, shown)
	_, out, _ := ullage(
		t,
		t.TempDir(),
		answered("--fill-time", "3 min", "--floats", "low 250 mm, high 720 mm, spill 770 mm")...)
	assert.Contains(t, out, strings.ReplaceAll(strings.TrimPrefix(shown, "    "), "\n    ", "\n"))
}

func TestNewStatus(t *testing.T) {
	const before = "site: what was there\n"
	tests := []struct {
		name   string
		args   []string
		status int
		says   string
	}{
		{"there already", answered(), exitBroken, "site.yaml is there already"},
		{"there already, before any question", []string{"new", "site.yaml"}, exitBroken, "--force"},
		{"no yaml", []string{"new", "site.yml", "--static", "3 bar"}, exitBroken, "ends in .yaml"},
		{"no name", []string{"new", ".yaml", "--static", "3 bar"}, exitBroken, "a name before .yaml"},
		{"no folder", []string{"new", "garden/site.yaml", "--static", "3 bar"}, exitBroken, "no folder garden"},
		{"two files", []string{"new", "a.yaml", "--out", "b.yaml"}, exitBroken, "two files are named"},
		{
			"mistakes",
			[]string{"new", "b.yaml", "--static", "3", "--pipe", "25 mm"},
			exitBroken,
			"2 errors; nothing was written",
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "site.yaml"), []byte(before), 0o666))
			status, out, errOut := ullage(t, dir, test.args...)
			assert.Equal(t, test.status, status)
			assert.Contains(t, out+errOut, test.says)
			files, err := filepath.Glob("*.yaml")
			require.NoError(t, err)
			assert.Equal(t, []string{"site.yaml"}, files, "a refused command must write nothing")
			text, err := os.ReadFile("site.yaml")
			require.NoError(t, err)
			assert.Equal(t, before, string(text), "a refused command must not touch what is there")
		})
	}
}

func TestNewOverwritesOnlyWithForce(t *testing.T) {
	dir := t.TempDir()
	require.NoError(
		t,
		os.WriteFile(
			filepath.Join(dir, "site.yaml"),
			bytes.Repeat([]byte("# a longer file than the new one\n"), 1000),
			0o666,
		),
	)
	status, _, errOut := ullage(t, dir, answered("--force")...)
	require.Equal(t, exitHeld, status, errOut)
	text, err := os.ReadFile("site.yaml")
	require.NoError(t, err)
	assert.NotContains(t, string(text), "a longer file")
}

// With - the file alone goes to the output, and what is said about it elsewhere.
func TestNewPrints(t *testing.T) {
	args := answered()
	args[1] = "-"
	status, out, errOut := ullage(t, t.TempDir(), args...)
	require.Equal(t, exitHeld, status, errOut)
	_, err := sitefile.Read("printed", []byte(out))
	require.NoError(t, err)
	assert.Contains(t, errOut, "fill, low to high")
}

// Piped lines answer the questions.
func TestNewAsks(t *testing.T) {
	t.Chdir(t.TempDir())
	c := newCommand()
	var out bytes.Buffer
	c.SetArgs([]string{"lines.yaml"})
	c.SetIn(strings.NewReader("3.6 bar\n" + strings.Repeat("\n", 30)))
	c.SetOut(&out)
	require.NoError(t, c.ExecuteContext(context.Background()), out.String())
	text, err := os.ReadFile("lines.yaml")
	require.NoError(t, err)
	assert.Contains(t, string(text), "static: 3.6 bar", out.String())
	assert.Contains(t, string(text), `site: "Lines"`)
}
