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
	"ullage/scenarios"
)

// TestTranscripts holds every shipped scenario against what it did before: its margins in one table, and the changes of
// its states and its events, line by line. With -update the files are written anew: only commit what you understand.
func TestTranscripts(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole suite over again; the run of the shipped features shows the races")
	}
	results := run(t, scenarios.Selection{})
	var margins strings.Builder
	for _, r := range results {
		for i := range r.Verdicts {
			margins.WriteString(strings.TrimRight(describe(r, i), " ") + "\n")
		}
		same(t, filepath.Join("testdata", "transcripts", fileName(r)), transcript(r))
	}
	same(t, filepath.Join("testdata", "margins.golden"), margins.String())
}

var unfit = regexp.MustCompile(`[^a-z0-9]+`)

// fileName is that of a scenario's transcript: hazard and title.
func fileName(r *harness.Result) string {
	hazard := strings.TrimSuffix(filepath.Base(r.Script.File), ".feature")
	return hazard + "." + strings.Trim(unfit.ReplaceAllString(strings.ToLower(r.Script.Name), "-"), "-") + ".txt"
}

// transcript lists the changes of states and the events of a run in order of time; pulses of meters, and what passes at
// the terminals, say nothing that flows and commands do not.
func transcript(r *harness.Result) string {
	type line struct {
		at   signal.Time
		text string
	}
	var lines []line
	for i, s := range r.Run.Trace.Signals() {
		pulses := s.Quantity == "closed" && slices.ContainsFunc(r.Run.Trace.Signals(), func(o signal.Signal) bool {
			return o.Device == s.Device && o.Quantity == "volume"
		})
		if s.Shape == signal.Linear || s.Quantity == harness.TerminalQuantity || s.Quantity == harness.NoiseQuantity || pulses || s.Name() == "controller.moisture" || s.Name() == "controller.received" {
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

var updateTranscripts = flag.Lookup("update")

// same compares a text with a golden file, or writes it.
func same(t *testing.T, file, text string) {
	if updateTranscripts.Value.String() == "true" {
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o777))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		return
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "there is no transcript yet; -update writes it")
	assert.Equal(t, string(want), text, "%s is not what it was", file)
}
