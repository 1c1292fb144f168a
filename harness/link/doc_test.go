package link

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// documented reads the conversation in the package comment: messages and answers in their order, in one piece each.
func documented(t *testing.T) (messages, answers []string) {
	t.Helper()
	source, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	var pieces []string
	for _, line := range strings.Split(string(source), "\n") {
		text, ok := strings.CutPrefix(line, "//\t")
		switch {
		case !ok:
		case strings.HasPrefix(text, "> "), strings.HasPrefix(text, "< "):
			pieces = append(pieces, text)
		default:
			pieces[len(pieces)-1] += text
		}
	}
	for i, piece := range pieces {
		var one bytes.Buffer
		require.NoErrorf(t, json.Compact(&one, []byte(piece[2:])),
			"the package comment holds an example that is not JSON: %s", piece)
		if i%2 == 0 {
			require.Truef(t, strings.HasPrefix(piece, "> "), "two answers in a row: %s", piece)
			messages = append(messages, one.String())
		} else {
			require.Truef(t, strings.HasPrefix(piece, "< "), "two messages in a row: %s", piece)
			answers = append(answers, one.String())
		}
	}
	return messages, answers
}

// The conversation in the package comment is held with a program that gives the documented answers: the harness must
// say what is documented, to the byte, and make of the answers what is documented.
func TestDocumentedConversation(t *testing.T) {
	messages, answers := documented(t)
	log := t.TempDir() + "/log"
	spec, terminals := testSpec()
	c, err := Exec(context.Background(), childCommand("script", append([]string{log}, answers...)...), spec, terminals,
		Options{})
	require.NoError(t, err)
	trace, panel := signal.NewTrace(), fault.NewPanel()
	require.NoError(t, c.Open(context.Background(), trace, panel, harness.Draw{}))
	assert.Equal(t, harness.Abilities{harness.FillRule: true, harness.LongestRun: true, harness.CutOff: true,
		harness.Alerts: true, harness.ContactFilters: true}, c.Can())
	spec.Reacts.Polls, spec.Reacts.Filter = spec.Reacts.Polls.With(1, 0), spec.Reacts.Filter.With(2, 0)
	reacts := harness.ReactsOf(c, spec)
	assert.Equal(
		t,
		"polls 10 ms, acts-within 50 ms, (alerts-within 10 s), debounce from 250 ms, debounce to 270 ms, filter 2 s, (stagger 1 s), "+
			"(back-off least 5 s), (back-off most 5 min), (resends 10 s), (silent-after 1 min 30 s)",
		reacts.String(),
		"the greeting has precedence over the site file, and that over the defaults",
	)

	const ms = signal.Millisecond
	step := func(to signal.Time, in []harness.Pin, got ...harness.Frame) (signal.Time, []harness.Pin, []harness.Frame) {
		reached, out, sent, err := c.Advance(context.Background(), to, in, got)
		require.NoError(t, err)
		return reached, out, sent
	}
	in := atRest(0)
	in[3].Slope, in[3].Volts = -0.001, 1.5+0.0005 // 1.5 V when it boots
	reached, _, _ := step(500*ms, in)
	require.Equal(t, 500*ms, reached)

	reached, out, sent := step(2000*ms, nil)
	assert.Equal(t, 500*ms, reached)
	assert.Empty(t, out)
	assert.Equal(t, []harness.Frame{{At: 500 * ms, Kind: harness.Connect}}, sent)
	reached, _, _ = step(2000*ms, nil)
	assert.Equal(t, 2000*ms, reached)

	reached, out, sent = step(4000*ms, []harness.Pin{{At: 2000 * ms, Terminal: tankLow, Ohms: 2}},
		harness.Frame{Kind: harness.Connected})
	assert.Equal(t, 2250*ms, reached)
	assert.Equal(t, []harness.Pin{{At: 2250 * ms, Terminal: topUp, Volts: 12, Ohms: 0.1}}, out)
	assert.Equal(t, []harness.Frame{{At: 2250 * ms, Kind: harness.Publish, Number: 1, Topic: "report",
		Text: "filling"}}, sent)
	reached, out, sent = step(3900*ms, nil)
	assert.Equal(t, 3900*ms, reached)
	assert.Empty(t, out)
	assert.Empty(t, sent)
	unplugged := harness.Open(3900*ms, probe)
	unplugged.Hum, unplugged.HumHertz = 0.125e-6, 49.98 // over the 10 Mohm of the input
	reached, _, _ = step(4000*ms, []harness.Pin{unplugged})
	assert.Equal(t, 4000*ms, reached)

	reached, out, sent = step(5000*ms, nil, harness.Frame{Kind: harness.Acknowledged, Number: 1},
		harness.Frame{Kind: harness.Command, Topic: harness.TopicStart, Text: "top-up", Value: 300})
	assert.Equal(t, 4250*ms, reached)
	assert.Equal(t, []harness.Pin{harness.Open(4250*ms, topUp)}, out)
	assert.Equal(t, []harness.Frame{{At: 4250 * ms, Kind: harness.Publish, Number: 2, Topic: "alert",
		Text: harness.AlertFillTooLong}}, sent)
	require.NoError(t, c.Close())

	said, err := os.ReadFile(log)
	require.NoError(t, err)
	assert.Equal(t, messages, strings.Split(strings.TrimSpace(string(said)), "\n"),
		"the harness does not say what is documented")
	commands, _ := trace.Find("top-up.command")
	assert.Equal(t, signal.Column{At: []signal.Time{0, 2250 * ms, 4250 * ms}, Value: []float64{0, 1, 0}},
		trace.Column(commands))
	alert, _ := trace.Find("controller.alert fill too long")
	assert.Equal(t, []signal.Time{4250 * ms}, trace.Column(alert).At)
}

// What a program may claim and publish is listed where its author reads.
func TestDocumentedWords(t *testing.T) {
	source, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	text := strings.ReplaceAll(string(source), "\n// ", " ")
	for _, name := range harness.AlertNames() {
		assert.Contains(t, text, `"`+name+`"`)
	}
	for _, name := range harness.AllAbilities() {
		assert.Contains(t, text, `"`+string(name)+`"`)
	}
	reacts := reflect.TypeFor[sitefile.Reacts]()
	for i := range reacts.NumField() {
		assert.Contains(t, text, `"`+plainKey(reacts.Field(i))+`"`, "a key of the block reacts")
	}
}
