package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// patience is how long a process may take that should end at once, or refuse what it is given: long enough for any
// machine.
const patience = time.Minute

// put writes a file into a folder.
func put(t *testing.T, dir, name, text string) {
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
}

// ended runs a command line in the present folder, and fails if it does not end.
func ended(t *testing.T, args ...string) (status int, out string) {
	var text bytes.Buffer
	done := make(chan int, 1)
	go func() { done <- execute(t.Context(), args, &text, &text) }()
	select {
	case status := <-done:
		return status, text.String()
	case <-time.After(patience):
		require.Fail(t, "it goes on for ever", "ullage %q did not end within %v", args, patience)
	}
	return 0, ""
}

const oneScenario = "Feature: f\n  Scenario: s\n    Given the site \"tern-lane\"\n    When 1 h passes\n    Then no water goes over the rim of \"header-tank\"\n"

// Whatever lies beside a feature file or is named in its place, a pipe or a device is refused unread.
func TestOnlyRegularFilesAreRead(t *testing.T) {
	pipe := func(t *testing.T, name string) { require.NoError(t, syscall.Mkfifo(name, 0o666)) }
	zero := func(t *testing.T, name string) { require.NoError(t, os.Symlink("/dev/zero", name)) }
	for _, file := range []string{"x.yaml", "x.feature", "hazards.yaml", "sites/x.yaml"} {
		for what, place := range map[string]func(*testing.T, string){"a pipe": pipe, "a device": zero} {
			t.Run(file+" is "+what, func(t *testing.T) {
				dir := t.TempDir()
				t.Chdir(dir)
				require.NoError(t, os.Mkdir("sites", 0o777))
				put(t, dir, "night.feature", oneScenario)
				place(t, filepath.Join(dir, file))
				ways := [][]string{
					{"check", "."},
					{"check", file},
					{"run", file},
					{"flows", file},
					{"sweep", file},
					{"sweep", "tern-lane", "--accept", file},
				}
				if file != "x.feature" {
					ways = append(ways, []string{"check", "night.feature"})
				}
				for _, args := range ways {
					if file == "x.feature" && (args[0] == "flows" || args[0] == "sweep") {
						continue
					}
					status, out := ended(t, args...)
					assert.Equal(t, exitBroken, status, "%v: %s", args, out)
					assert.Contains(t, out, file+": it is "+what+"; expected a regular file", "%v", args)
				}
			})
		}
	}
	dir := t.TempDir()
	t.Chdir(dir)
	require.NoError(t, os.Mkdir("old", 0o777))
	for _, name := range []string{"run.json", "run.log"} {
		pipe(t, filepath.Join(dir, "old", name))
		status, out := ended(t, "compare", "old", "old")
		assert.Equal(t, exitBroken, status)
		assert.Contains(t, out, name+": it is a pipe; expected a regular file")
		require.NoError(t, os.Remove(filepath.Join(dir, "old", name)))
	}
}

// Input without measure is refused with the limit that it passes.
func TestLimitsAreNamed(t *testing.T) {
	pipes, from := "site: s\nsupplies: [{name: m, static: 3 bar, residual: 2 bar, at: 25 L/min}]\npipes:\n", "m"
	for i := range 4000 {
		pipes += fmt.Sprintf("  - {name: p%d, from: %s, length: 1 m, bore: 20 mm}\n", i, from)
		from = fmt.Sprintf("p%d", i)
	}
	dir := t.TempDir()
	t.Chdir(dir)
	for name, file := range map[string]struct{ text, want string }{
		"pipes.yaml":        {pipes, "4001 parts; expected a site of at most 1000"},
		"scenarios.feature": {"Feature: f\n" + strings.Repeat(strings.TrimPrefix(oneScenario, "Feature: f\n"), 100_000), "expected at most 1048576"},
		"short.feature":     {"Feature: f\n" + strings.Repeat("Scenario:\n*x\n", 100_000)[:1<<20-20], "more than 20000 lines"},
		"rows.feature": {"Feature: f\nScenario Outline: s\n" + strings.Repeat("* <n>\n", 1000) + "Examples:\n|n|\n" + strings.Repeat("|1|\n", 1000),
			"1001000 scenarios and steps, each row of an outline counted with its steps and those of the Background; expected at most 20000"},
		"unclosed.feature": {"Feature: f\nScenario: s\n* x\n\"\"\"\n" + strings.Repeat("x\n", 64_000), "more than 20000 lines"},
		"line.feature":     {"Feature: f\nScenario: s\n* " + strings.Repeat("x", 70_000), "the line has 70002 bytes; expected at most 10000"},
	} {
		put(t, dir, name, file.text)
		status, out := ended(t, "check", name)
		assert.Equal(t, exitBroken, status, name)
		assert.Contains(t, out, file.want, name)
	}
}

// A full disk is an output that could not be made, whatever the command has found.
func TestOutputThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	put(t, dir, "night.feature", oneScenario)
	put(t, dir, "site.yaml", "site: x\n")
	for _, args := range [][]string{{"check"}, {"check", "night.feature"}, {"check", "site.yaml"}, {"flows", "tern-lane"}, {"flows", "tern-lane", "--json"}, {"phrases"}, {"schema"},
		{"faults"}, {"faults", "--json"}, {"--help"}, {"new", "-", "--static", "3.6 bar"}, {"run", "night.feature"}} {
		full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
		if err != nil {
			t.Skip("this system has no full device")
		}
		var complaint bytes.Buffer
		assert.Equal(t, exitBroken, execute(t.Context(), args, full, &complaint), "ullage %v", args)
		full.Close()
		assert.Contains(t, complaint.String(), "no space left on device", "ullage %v", args)
	}
}

// What a terminal would obey is shown, wherever it stands: in a name, a tag, a step, a site, the name of a file.
func TestEscapesAreShown(t *testing.T) {
	const clear, turn = "\x1b[2J", "\u202e"
	dir := t.TempDir()
	t.Chdir(dir)
	feature := func(tag, name, site, step string) string {
		return "Feature: f\n  @t" + tag + "\n  Scenario: s" + name + "\n    Given the site \"tern-lane" + site + "\"\n    When 1 h passes" + step +
			"\n    Then no water goes over the rim of \"header-tank\"\n"
	}
	for name, text := range map[string]string{
		"tag.feature": feature(clear+turn, "", "", ""), "name.feature": feature("", clear+turn, "", ""), "site.feature": feature("", "", clear+turn, ""),
		"step.feature": feature("", "", "", clear+turn), "language.feature": "Feature: f\n  " + clear + turn + "\n  Scenario: s\n  * x\n  " + clear + turn,
		"name.yaml": "site: \"\\e[2J\\u202e\"\n", "key.yaml": "site: x\n\"\\e[2J\\u202e\": 1\n", "raw.yaml": "site: x\n" + clear + turn + ": 1\n",
		"file" + clear + turn + ".yaml": "site: x\n", "file" + clear + turn + ".feature": oneScenario,
	} {
		put(t, dir, name, text)
		for _, args := range [][]string{{"check", name}, {"check", name + "x"}, {"run", name}, {"flows", name}, {"check", "--tags", "@x" + clear + turn}, {"run", "--name", clear + turn},
			{clear + turn}, {"--" + clear + turn}, {"faults", clear + turn}, {"sweep", clear + turn}} {
			_, out := ended(t, args...)
			assert.NotContains(t, out, "\x1b", "ullage %q: %q", args, out)
			assert.NotContains(t, out, "\u202e", "ullage %q: %q", args, out)
		}
	}
}

// Whoever computes ends when it is told to.
func TestInterrupts(t *testing.T) {
	over, cancel := context.WithCancel(t.Context())
	cancel()
	for _, args := range [][]string{{"check"}, {"flows", "tern-lane"}, {"new", "-", "--static", "3.6 bar"}, {"faults"}, {"phrases"}, {"schema"}} {
		var out, complaint bytes.Buffer
		assert.Equal(t, exitBroken, execute(over, args, &out, &complaint), "ullage %v", args)
		assert.Equal(t, "ullage: interrupted\n", complaint.String(), "ullage %v", args)
	}
	dir := t.TempDir() // minutes of reading
	for i := range 50 {
		put(
			t,
			dir,
			fmt.Sprintf("f%d.feature", i),
			"Feature: f\n"+strings.Repeat(
				"  Scenario: s\n    Given the site \"tern-lane\"\n    When 1 h passez\n",
				6000,
			),
		)
	}
	c := program(t, dir, nil, "check", ".")
	require.NoError(t, c.Start())
	kill := time.AfterFunc(patience, func() { c.Process.Kill() })
	time.Sleep(time.Second)
	require.NoError(t, c.Process.Signal(syscall.SIGTERM))
	_ = c.Wait()
	require.True(t, kill.Stop(), "check went on for %v after it was told to end", patience)
	assert.Equal(t, exitBroken, c.ProcessState.ExitCode())
}
