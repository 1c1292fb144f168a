package scenarios_test

import (
	"cmp"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// TestMargins holds the margin of every outcome of the shipped suite against what it was. With -update the table is
// written anew: only commit what you understand.
func TestMargins(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole suite; the run of the shipped features shows the races")
	}
	var margins strings.Builder
	for _, r := range suite(t) {
		for i := range r.Verdicts {
			margins.WriteString(strings.TrimRight(describe(r, i), " ") + "\n")
		}
	}
	same(t, filepath.Join("testdata", "margins.golden"), margins.String())
}

// TestRecordings holds what happened in some fifteen scenarios, state by state and event by event, against what
// happened before. Those are recorded that have a file; TestEveryRunIsPossible proves the others.
func TestRecordings(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole suite; the run of the shipped features shows the races")
	}
	files, err := filepath.Glob(filepath.Join("testdata", "recordings", "*.txt"))
	require.NoError(t, err)
	require.Greater(t, len(files), 10, "the recordings are gone")
	for _, r := range suite(t) {
		file := filepath.Join("testdata", "recordings", fileName(r))
		if i := slices.Index(files, file); i >= 0 {
			same(t, file, recording(r))
			files = slices.Delete(files, i, i+1)
		}
	}
	assert.Empty(t, files, "recordings of scenarios that are no more")
}

var unfit = regexp.MustCompile(`[^a-z0-9]+`)

// fileName is that of a scenario's recording: hazard and title.
func fileName(r *harness.Result) string {
	hazard := strings.TrimSuffix(filepath.Base(r.Script.File), ".feature")
	return hazard + "." + strings.Trim(unfit.ReplaceAllString(strings.ToLower(r.Script.Name), "-"), "-") + ".txt"
}

// recording lists the changes of states and the events of a run in order of time; pulses of meters, and what passes at
// the terminals, say nothing that flows and commands do not.
func recording(r *harness.Result) string {
	type line struct {
		at   signal.Time
		text string
	}
	var lines []line
	for i, s := range r.Run.Trace.Signals() {
		pulses := s.Quantity == "closed" && slices.ContainsFunc(r.Run.Trace.Signals(), func(o signal.Signal) bool {
			return o.Device == s.Device && o.Quantity == "volume"
		})
		if s.Shape == signal.Linear || s.Alike(signal.Terminal("").Voltage()) ||
			s.Alike(signal.AnalogueTerminal("").Noise()) || pulses ||
			s == signal.Controller.Moisture() || s == signal.Controller.Received() {
			continue
		}
		c := r.Run.Trace.Column(signal.ID(i))
		for j := range c.At {
			value := ""
			switch {
			case s.Shape == signal.Event:
			case s.Dim == quantity.State && c.Value[j] == 0:
				value = " off"
			case s.Dim == quantity.State:
				value = " on"
			default:
				value = " " + quantity.Format(c.Value[j], s.Dim)
			}
			if c.At[j] > 0 || value != " off" {
				lines = append(lines, line{c.At[j], fmt.Sprintf("+%v %s%s\n", milliseconds(c.At[j]), s.Name(), value)})
			}
		}
	}
	slices.SortStableFunc(lines, func(a, b line) int { return cmp.Compare(a.at, b.at) })
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(l.text)
	}
	return b.String()
}

// milliseconds leaves out what tells more of the solver's rounding than of the controller.
func milliseconds(t signal.Time) signal.Time {
	return (t + signal.Millisecond/2) / signal.Millisecond * signal.Millisecond
}

// same compares a text with a golden file, or writes it.
func same(t *testing.T, file, text string) {
	if flag.Lookup("update").Value.String() == "true" { // the flag of package scenarios
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o777))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		return
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "there is no such file yet; -update writes it")
	assert.Equal(t, string(want), text, "%s is not what it was", file)
}
