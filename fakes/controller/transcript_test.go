package controller

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

var update = flag.Bool(
	"update",
	false,
	"rewrite the transcripts; only keep the changes if you understand what caused them",
)

// TestTranscripts plays testdata/*.txt. A line with ">" is what happens to the controller, at a time; the indented
// lines below it are what the controller then does. "with:" names the rules in use, "without:" the protections taken
// out; "kept:", "clock:", "meter counts:" and "polling:" change a setting.
func TestTranscripts(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			got := play(t, string(want))
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			assert.Equal(t, string(want), got, "the controller did something else than in %s", file)
		})
	}
}

// play plays every story of a transcript; an empty line ends a story.
func play(t *testing.T, text string) string {
	var stories []string
	for _, story := range strings.Split(strings.TrimSpace(text), "\n\n") {
		stories = append(stories, playStory(t, story))
	}
	return strings.Join(stories, "\n\n") + "\n"
}

func playStory(t *testing.T, story string) string {
	var head strings.Builder
	spec, terminals := ternLane()
	var options []Option
	var rig *rig
	for _, line := range strings.Split(story, "\n") {
		switch key, value, _ := strings.Cut(line, ": "); {
		case strings.HasPrefix(line, "  "): // what it did the last time
		case strings.HasPrefix(line, "> "):
			if rig == nil {
				rig = newRig(t, spec, terminals, options...)
			}
			at, act, _ := strings.Cut(line[2:], " ")
			rig.until(moment(t, at))
			rig.log.WriteString(line + "\n")
			rig.happen(act)
		default:
			head.WriteString(line + "\n")
			if !strings.HasPrefix(line, "#") {
				options = append(options, set(t, &spec.Settings, key, value)...)
			}
		}
	}
	return head.String() + strings.TrimRight(rig.log.String(), "\n")
}

// set does what a line of the head of a story says.
func set(t *testing.T, s *sitefile.Settings, key, value string) (options []Option) {
	list := strings.Split(value, ", ")
	switch key {
	case "with":
		only(s, list...)
	case "clock":
		s.Clock = value
	case "kept":
		kept, err := strconv.Atoi(value)
		require.NoError(t, err)
		s.Alerts.Kept = kept
	case "meter counts":
		s.FlowAlarms.Counts = list
	case "polling":
		options = append(options, Polling(moment(t, value)))
	case "without":
		for _, a := range list {
			options = append(options, Without(harness.Ability(a)))
		}
	default:
		require.Fail(t, "not understood", "%q", key)
	}
	return options
}

// happen does what a line of a transcript says.
func (r *rig) happen(act string) {
	words := strings.Fields(act)
	number := func(i int) float64 {
		x, err := strconv.ParseFloat(words[i], 64)
		require.NoError(r.t, err, act)
		return x
	}
	switch {
	case act == "end":
		r.until(r.now)
	case words[0] == "network":
		r.network = words[1]
		if words[1] == "lost" {
			r.network = "refuses"
			r.answers = append(r.answers, harness.Frame{At: r.now, Kind: harness.Lost})
		}
	case words[0] == "probe" && words[1] == "unplugged":
		r.open("bed-probe")
	case words[0] == "probe":
		r.moisture(number(1) / 100)
	case words[0] == "power":
		r.power(number(1))
	case words[0] == "start":
		seconds := 0.0
		if len(words) > 2 {
			seconds = number(2)
		}
		r.command(harness.TopicStart, words[1], seconds)
	case words[0] == "stop":
		r.command(harness.TopicStop, words[1], 0)
	case words[0] == "turn": // a knob of the controller, with - for the spaces of its name
		r.turn(strings.ReplaceAll(words[1], "-", " "), number(2))
	case words[0] == "reset":
		require.NoError(r.t, r.panel.Open(r.now, "controller", "reset", 1))
		require.NoError(r.t, r.panel.Close(r.now, "controller", "reset", 1))
	case words[0] == "meter": // meter 30 pulses in 60 s
		every := signal.Time(number(4) / number(1) * 1e9)
		for range int(number(1)) {
			r.operate("meter", true)
			r.until(r.now + every/2)
			r.operate("meter", false)
			r.until(r.now + every/2)
		}
	case len(words) == 2 && (words[1] == "operates" || words[1] == "releases"):
		r.operate(words[0], words[1] == "operates")
	case len(words) == 2 && words[1] == "unplugged":
		r.open(words[0])
	case len(words) == 2 && words[1] == "bounces": // six edges in 0.3 s, then as before
		for i := range 6 {
			r.operate(words[0], i%2 == 0)
			r.until(r.now + 50*signal.Millisecond)
		}
	default:
		require.Fail(r.t, "not understood", "%q", act)
	}
}

// moment reads a time as the trace prints it, hh:mm:ss with decimals.
func moment(t testing.TB, text string) signal.Time {
	var h, m int64
	var s float64
	_, err := fmt.Sscanf(text, "%d:%d:%g", &h, &m, &s)
	require.NoError(t, err, "%q is not a time", text)
	return signal.Time(h)*signal.Hour + signal.Time(m)*signal.Minute + signal.Time(s*1e9+0.5)
}
