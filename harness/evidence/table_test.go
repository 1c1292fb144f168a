package evidence

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/console"
	"ullage/harness/outcome"
)

func TestTable(t *testing.T) {
	s := Summarise(samples(), sampleMeta)
	for name, width := range map[string]int{"table-80.txt": 80, "table-piped.txt": 0} {
		var b bytes.Buffer
		require.NoError(t, Table(&b, s, "evidence", width, false))
		golden(t, name, b.Bytes())
		for line := range strings.Lines(b.String()) {
			assert.False(t, strings.HasSuffix(strings.TrimSuffix(line, "\n"), " "), "spaces at the end of %q", line)
			if width > 0 && !strings.Contains(line, "again: ") {
				assert.LessOrEqual(t, widthOf(line), width, "%q is wider than the terminal", line)
			}
		}
	}
	var b bytes.Buffer
	require.NoError(t, Table(&b, Summarise(nil, sampleMeta), "", 80, true))
	assert.Contains(t, b.String(), "0 scenarios: none. 0 outcomes: none.")
}

// Counts are kept exactly by nearly every run: what was measured comes before them, on the console and on both pages.
func TestCountsComeAfterWhatWasMeasured(t *testing.T) {
	number := func(v float64) *float64 { return &v }
	measured := func(text string, share float64) Outcome {
		return Outcome{
			Text:       text,
			State:      State{outcome.Held},
			Dimension:  "duration",
			MarginText: "9 s",
			Margin:     number(9),
			Share:      number(share),
		}
	}
	count := Outcome{
		Text:       "counted",
		State:      State{outcome.Held},
		Dimension:  "count",
		MarginText: "0 times",
		Margin:     number(0),
		Share:      number(0),
	}
	s := &Summary{
		Scenarios: []Record{
			{Name: "a", Outcomes: []Outcome{count, measured("roomy", 0.9)}},
			{Name: "b", Outcomes: []Outcome{count, measured("close", 0.1)}},
		},
	}
	var texts []string
	for _, x := range s.smallest() {
		texts = append(texts, x.Outcome.Text)
	}
	assert.Equal(t, []string{"close", "counted"}, texts)
	assert.Equal(t, "roomy", s.Scenarios[0].decisive().Text)

	lost := count
	lost.State, lost.Margin, lost.Share = State{outcome.Failed}, number(-1), number(-1)
	assert.True(t, closer(&lost, &s.Scenarios[1].Outcomes[1]), "a count that was lost is worse than anything that held")
}

func widthOf(line string) int { return console.Width(strings.TrimSuffix(line, "\n")) }

func TestCompare(t *testing.T) {
	old := Summarise([]*harness.Result{
		bounce(), unable(),
		link("The access point dies while the sprays run", 8, 360),
		link("The access point dies and the sprays stop", 21, 350),
		link("The access point comes back", 33, 340),
	}, sampleMeta)
	better := link("The access point comes back", 35, 320)
	now := Summarise([]*harness.Result{
		bounce(), better, dull(),
		link("The access point dies while the sprays run", 8, 363.8),
		link("The access point dies and the sprays stop", 21, 364.9),
	}, sampleMeta)
	failing := &now.Scenarios[len(now.Scenarios)-2]
	require.Equal(t, "The access point dies and the sprays stop", failing.Name)
	failing.Outcomes[0].State = State{outcome.Failed}
	failing.Outcomes[0].Why = "sprays.open off came too late"

	var b bytes.Buffer
	worse, err := Compare(&b, old, now, 80, false)
	require.NoError(t, err)
	assert.True(t, worse)
	golden(t, "compare.txt", b.Bytes())

	b.Reset()
	worse, err = Compare(&b, old, old, 80, false)
	require.NoError(t, err)
	assert.False(t, worse)
	assert.Equal(t, "6 outcomes the same.\n", b.String())

	for name, change := range map[string]struct {
		make  func(*Summary)
		worse bool
	}{
		"a scenario is gone":  {func(s *Summary) { s.Scenarios = s.Scenarios[1:] }, true},
		"a smaller margin":    {func(s *Summary) { *s.Scenarios[0].Outcomes[0].Margin -= 1e-6 }, true},
		"rounding":            {func(s *Summary) { *s.Scenarios[0].Outcomes[0].Margin *= 1 - 1e-12 }, false},
		"a larger margin":     {func(s *Summary) { *s.Scenarios[0].Outcomes[0].Margin += 1e-6 }, false},
		"a feature file grew": {func(s *Summary) { s.Scenarios[0].Line += 7 }, false},
		"nothing was there to be measured": {func(s *Summary) {
			s.Scenarios[0].Outcomes[0].MarginText = "no margin"
			s.Scenarios[0].Outcomes[0].Margin = nil
		}, false},
	} {
		again := Summarise([]*harness.Result{bounce()}, sampleMeta)
		change.make(again)
		worse, err := Compare(&bytes.Buffer{}, Summarise([]*harness.Result{bounce()}, sampleMeta), again, 0, true)
		require.NoError(t, err)
		assert.Equal(t, change.worse, worse, name)
	}
}
