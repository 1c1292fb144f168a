package survey_test

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/cmd/ullage/internal/survey"
	"ullage/harness/sitefile"
)

var update = flag.Bool("update", false,
	"rewrite the golden files; only keep the changes if you understand what caused them")

func golden(t *testing.T, name, got string) {
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o777))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o666))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, "%s is written differently; renew it with -update if that is meant", path)
}

// A site with everything, its answers in metric units.
func TestWrittenFile(t *testing.T) {
	m := made(t, given("fill-time", "6 min 30 s", "valves", "master 1 in, top-up 3/4 in, sprays 1 in, drip 1/2 in",
		"feeds", "master: other valves"))
	golden(t, "metric.yaml", string(m.Text))
}

// One in US units with little known.
func TestWrittenFileInUSUnits(t *testing.T) {
	m := made(t, survey.Given{"static": {"52 psi"}, "bucket": {"5 gal in 40 s"}, "pipe": {"3/4 in PVC schedule 40"},
		"length": {"90 ft"}, "valves": {"fill 3/4 in"},
		"feeds": {
			"fill: tank, 12 ft of 1/2 in copper type L",
		}, "tank": {"110 gal, 35 in"}, "fill-time": {"9 min"}, "floats": {"low 10 in, high 28 in"}, "volts": {"24 VAC"}})
	golden(t, "us.yaml", string(m.Text))
	var b bytes.Buffer
	require.NoError(t, m.Report(&b, "garden.yaml"))
	golden(t, "us.txt", b.String())
}

// The answers of somebody who mistypes, leaves things out and thinks again, through a pipe.
const typedAnswers = `3,6 bar
3.6
3.6 bar
a lot
10 L in 20 s
4 bar
2.4 bar
25 mm SRD 11
25 mm SDR 11
BZ 3/4 in
BA 3/4 in
3/4 in
none

28 m

top-up, sprays 1 in
top-up 3/4 in, sprays 1 in

tank, 4 metres
8 sprays of 2.1 L/min at 2 bar, 6 m
6 min 30 s
1000 x 500
1000 x 500 x 880 mm
800 mm, 40 mm pipe
standpipe 900 mm, 40 mm pipe
side outlet 780 mm, 36 mm bore, 2 m, falls 100 mm
13 mm
900 mm
20 m
1.6 m
low 720 mm, high 250 mm
low 250 mm, high 720 mm, spill 770 mm
230 V
12 V
36 ohm
1 A
`

func TestPrompt(t *testing.T) {
	var out bytes.Buffer
	answers, err := survey.Collect(nil, &survey.Prompt{In: strings.NewReader(typedAnswers), Out: &out, Echo: true})
	require.NoError(t, err, out.String())
	m, err := survey.Make(answers, "Header house")
	require.NoError(t, err)
	require.NoError(t, m.Report(&out, "header-house.yaml"))
	golden(t, "prompt.txt", out.String())
}

func TestPromptEndsEarly(t *testing.T) {
	var out bytes.Buffer
	_, err := survey.Collect(nil, &survey.Prompt{In: strings.NewReader("3 bar\n10 L in 20 s\n"), Out: &out})
	require.ErrorIs(t, err, survey.ErrNoMoreAnswers)
	require.ErrorContains(t, err, "--residual")
}

// "back" asks the question before again, and what was answered there is forgotten.
func TestPromptGoesBack(t *testing.T) {
	lines := []string{"3 bar", "back", "3.6 bar", "10 L in 20 s", "2.4 bar", "back", "", "", "", "", "", "", "",
		"top-up 3/4 in, b 1 in", "", "10 drippers of 2 L/h", "tank", "back", "back", "tank", "10 drippers of 2 L/h"}
	var out bytes.Buffer
	answers, err := survey.Collect(nil,
		&survey.Prompt{In: strings.NewReader(strings.Join(lines, "\n") + strings.Repeat("\n", 20)), Out: &out})
	require.NoError(t, err, out.String())
	assert.Equal(t, 3.6e5, answers.Static)
	assert.False(t, answers.Measured, "the pressure meanwhile was taken back")
	assert.Equal(t, 0, answers.Filler())
	assert.Equal(t, 10, answers.Valves[1].Feeds.Count)
}

// With --ask the prompt asks for what no flag has answered, and for a flag that cannot be used.
func TestPromptAsksForTheRest(t *testing.T) {
	var out bytes.Buffer
	g := given("static", "", "volts", "", "fill-time", "soon")
	g["feeds"] = append(g["feeds"], "typo: tank")
	answers, err := survey.Collect(g, &survey.Prompt{In: strings.NewReader("3 bar\n\n\n\n\n7 min\n\n\n\n\n\n\n"), Out: &out})
	require.NoError(t, err, out.String())
	assert.Equal(t, 3e5, answers.Static)
	assert.Equal(t, 420.0, answers.FillTime)
	assert.Contains(t, out.String(), "Not used:\n--feeds: read \"typo: tank\"")
	assert.Equal(t, 11, strings.Count(out.String(), "    ["), "static, preventer, meter, filter, lifts, fill-time, "+
		"inlet-bore, inlet, volts, coil and rated were not answered, the rest was:\n%s", out.String())
}

// Flags list every mistake in one go, each with what was read and what was expected.
func TestMistakes(t *testing.T) {
	tests := []struct {
		further []string
		says    []string
	}{
		{[]string{"static", "3,6 bar", "pipe", "25 mm", "volts", "230 V"},
			[]string{`--static: read "3,6 bar": `, "decimal point", `--pipe: read "25 mm": `, "--volts: ",
				"never mains voltage"}},
		{[]string{"static", "300 bar"}, []string{"expected 0.2 bar to 20 bar"}},
		{[]string{"bucket", "10 L"}, []string{"as 10 L in 25 s"}},
		{[]string{"bucket", "0 L in 20 s"}, []string{"expected water and a time"}},
		{[]string{"residual", "3.7 bar"}, []string{"not below the static pressure, 3.6 bar"}},
		{[]string{"bucket", ""}, []string{"means nothing without the flow into the bucket"}},
		{[]string{"length", "0.3 m"}, []string{"a pipe of 300 mm has no ends 500 mm apart"}},
		{[]string{"floor", "40 m", "feeds", "top-up: tank, 60 m"},
			[]string{"the static pressure of 3.6 bar lifts water 36.7"}},
		{[]string{"valves", "top-up 2 in"}, []string{"is no connection size"}},
		{[]string{"valves", "tank 1 in"}, []string{`the name "tank" is taken`}},
		{[]string{"valves", "a 1 in, a 1 in"}, []string{"is there twice"}},
		{[]string{"feeds", "top_up: tank"}, []string{"no valve of this name", `"top-up: ..." or "sprays: ..."`}},
		{[]string{"feeds", "top-up: bath"}, []string{`"bath"; expected "tank"`}},
		{[]string{"feeds", "sprays: tank"}, []string{"fills the tank already"}},
		{[]string{"feeds", "top-up: tank, rises 2 m"}, []string{"asked for further down"}},
		{[]string{"valves", "drip 1 in", "feeds", "drip: 20 drippers of 2 L/h"},
			[]string{"--tank: ", "no valve fills a tank"}},
		{
			[]string{"tank", "1000 x 500"},
			[]string{"two sizes do not make a tank; expected inside sizes up to the rim, as \"1000 x 500 x 880 mm\""},
		},
		{[]string{"overflow", "standpipe 900 mm, 40 mm"}, []string{"not below the rim"}},
		{[]string{"overflow", "standpipe 800 mm, 600 mm"}, []string{"does not fit into a tank"}},
		{[]string{"floats", "low 250 mm"}, []string{"low and high are both needed"}},
		{[]string{"floats", "low 720 mm, high 250 mm"}, []string{"high at 250 mm is not above low at 720 mm"}},
		{[]string{"floats", "low 250 mm, high 720 mm, spill 700 mm"}, []string{"is not above high"}},
		{[]string{"floats", "low 250 mm, high 990 mm"}, []string{"not below the rim"}},
		{[]string{"fill-time", "8"}, []string{"a number without a unit"}},
	}
	for _, test := range tests {
		_, err := survey.Collect(given(test.further...), nil)
		var mistakes survey.Mistakes
		if !assert.True(t, errors.As(err, &mistakes), "%v was taken", test.further) {
			continue
		}
		for _, says := range test.says {
			assert.ErrorContains(t, err, says)
		}
	}
}

// answerOf draws an answer to a question that is good by itself.
func answerOf(t *rapid.T, flag string) string {
	good := map[string][]string{
		"static":   {"3 bar", "0.9 bar", "52 psi", "20 bar", "350 kPa"},
		"bucket":   {"10 L in 25 s", "5 gal in 40 s", "24 L/min", "1 L in 1 min", "200 L/min"},
		"residual": {"2 bar", "0 bar", "30 psi", "0.1 bar"},
		"pipe": {"25 mm SDR 11", "3/4 in PVC", "16 mm drip pipe", "1/2 in copper", "63 mm PE", "1 in galvanised",
			"13.6 mm bore"},
		"length": {"28 m", "90 ft", "0.1 m", "2 km", "1234.5 mm"},
		"rise":   {"0 m", "-3 m", "2 ft", "8 m"},
		"valves": {"top-up 3/4 in", "a 1 in, b 1/2 in", "true 1 in, 12 3/4 in, null 1/2 in",
			"fill DN20, master 1 in, Grün 1", "sprays 1\", drip 1/2\""},
		"fill-time": {"8 min", "5 s", "12 h", "90 s"},
		"tank": {"1000 x 500 x 880 mm", "400 L, 880 mm", "diameter 1.1 m x 1.25 m", "60 mm x 60 mm x 60 mm",
			"105 gal, 35 in high", "9 m x 9 m x 3.333 m"},
		"overflow": {"none", "standpipe 800 mm, 40 mm pipe", "standpipe 50 mm, 10 mm", "side outlet 30 in, 1 1/2 in, 6 ft, falls 4 in", "notch 780 mm, 100 mm wide"},
		"inlet":    {"920 mm", "3.5 m", "40 in", "100 mm"},
		"floor":    {"0 m", "1.6 m", "-4 m", "6 ft", "19 m"},
		"floats": {"low 250 mm, high 720 mm", "low 250 mm, high 720 mm, spill 770 mm", "low 10 mm, high 16 mm",
			"low 10 in, high 28 in, spill 30 in", "low 1 mm, high 59 mm"},
		"volts":      {"12 V", "24 V AC", "5 V", "9V DC", "60 V"},
		"preventer":  {"none", "BA 3/4 in", "ea 1", "DC DN15"},
		"meter":      {"none", "3/4 in, 1 L a pulse", "1 in, 10 L per pulse", "DN20, 500 mL"},
		"filter":     {"none", "3/4 in", "DN25"},
		"lifts":      {"0", "0.3 bar", "5 psi", "100 mbar"},
		"inlet-bore": {"13 mm", "1/2 in", "20 mm"},
		"coil":       {"38 ohm", "20 ohm", "1 kohm", "60 ohm"},
		"rated":      {"1 A", "830 mA", "10 A"},
	}
	return rapid.SampledFrom(good[flag]).Draw(t, flag)
}

// Whatever is answered, the end is a list of mistakes, or a site file that reads, checks and says what it is.
func TestAnyAnswers(t *testing.T) {
	files, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		g := survey.Given{}
		flags := survey.Flags()
		spoilt := rapid.IntRange(0, 2*len(flags)).Draw(t, "spoilt")
		for i, f := range flags {
			switch {
			case i == spoilt:
				g[f.Name] = []string{rapid.StringN(0, 30, 40).Draw(t, f.Name)}
			case f.Name == "feeds":
				g[f.Name] = feedsOf(t, g["valves"])
			case rapid.Bool().Draw(t, "answered "+f.Name):
				g[f.Name] = []string{answerOf(t, f.Name)}
			}
		}
		answers, err := survey.Collect(g, nil)
		var mistakes survey.Mistakes
		if errors.As(err, &mistakes) {
			refused++
			for _, m := range mistakes {
				if m.Flag == "" || m.Why == "" {
					t.Fatalf("a mistake that says nothing: %#v", m)
				}
			}
			return
		}
		require.NoError(t, err)
		m, err := survey.Make(answers, rapid.SampledFrom([]string{"Site", "1", "null", "A: b # c"}).Draw(t, "title"))
		require.NoError(t, err, "%v", g)
		s, err := sitefile.Read("site.yaml", m.Text)
		require.NoError(t, err, "%s", m.Text)
		require.NoError(t, s.Check())
		var b bytes.Buffer
		require.NoError(t, m.Report(&b, "site.yaml"))
		require.NotContains(t, b.String(), "NaN")
		require.NotContains(t, b.String(), "no value")
		files++
	})
	t.Logf("files: %d, refused: %d", files, refused)
	require.NotZero(t, files, "no answers made a file")
	require.NotZero(t, refused, "no answers were refused")
}

// Whatever is typed, the prompt ends with answers or for want of lines.
func TestAnyLines(t *testing.T) {
	lines := strings.Split(typedAnswers, "\n")
	rapid.Check(t, func(t *rapid.T) {
		typed := rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom(append(lines, "back", "")), rapid.StringN(0, 20, 40)), 0,
			60).Draw(t, "lines")
		answers, err := survey.Collect(nil, &survey.Prompt{In: strings.NewReader(strings.Join(typed, "\n")),
			Out: &bytes.Buffer{}})
		if err != nil {
			require.ErrorIs(t, err, survey.ErrNoMoreAnswers)
			return
		}
		_, err = survey.Make(answers, "Site")
		require.NoError(t, err)
	})
}

// feedsOf draws what each valve feeds.
func feedsOf(t *rapid.T, valves []string) (list []string) {
	for _, v := range strings.Split(strings.Join(valves, ""), ",") {
		words := strings.Fields(v)
		if len(words) == 0 || rapid.Bool().Draw(t, "feeds left out") {
			continue
		}
		list = append(list, fmt.Sprintf("%s: %s", words[0],
			rapid.SampledFrom([]string{"tank", "tank, 4 m of 20 mm PE",
				"48 drippers of 2 L/h, 12 m of 16 mm drip pipe, rises 1 m",
				"20 compensating drippers of 0.5 gph, regulator 1.5 bar", "8 sprays of 2.1 L/min at 30 psi, 6 m, falls 2 m", "other valves"}).Draw(t, "feeds")))
	}
	return list
}

// Who reads the gauge in psi gets a file in inches, feet, gallons and psi, whatever else he leaves out. The Kv of a
// valve is in m³/h, as valve makers' tables have it, and roughness in µm.
func TestUSAnswersMakeAFileWithoutMetricFigures(t *testing.T) {
	metric := regexp.MustCompile(`\d (mm|m|bar|mbar|L|L/min|L/h|mL/h)([\s,;}"]|$)`)
	for name, answers := range map[string]survey.Given{
		"all usual": {"static": {"52 psi"}},
		"all kinds of valve": {"static": {"55 psi"}, "bucket": {"5 gal in 30 s"}, "residual": {"40 psi"},
			"valves": {"top-up 3/4 in, sprays 1 in, drip 3/4 in"},
			"feeds": {"top-up: tank, 12 ft", "sprays: 6 sprays of 0.6 gpm",
				"drip: 40 drippers of 0.5 gph, 40 ft, regulator 20 psi"},
			"fill-time": {"9 min"}, "tank": {"48 x 24 x 36 in"}, "overflow": {"standpipe 33 in, 1.5 in pipe"}, "floor": {"2 ft"}, "floats": {"low 10 in, high 28 in, spill 31 in"}},
		"a high tank": {"static": {"60 psi"}, "tank": {"200 gal, 50 in high"}, "floor": {"20 ft"},
			"floats": {"low 9.3 in, high 38.1 in"}},
	} {
		m := made(t, answers)
		for _, line := range strings.Split(string(m.Text), "\n") {
			figure, _, _ := strings.Cut(line, "#")
			assert.NotRegexp(t, metric, figure, "%s: a metric figure among US ones", name)
		}
		var b bytes.Buffer
		require.NoError(t, m.Report(&b, "garden.yaml"))
		assert.NotRegexp(t, metric, b.String(), "%s: a metric figure in the report", name)
	}
}

// Drip pipe carries its drippers along it: it is a lateral and not a pipe with all of them at its end.
func TestDripPipeIsALateral(t *testing.T) {
	for _, c := range []struct {
		feeds, from     string
		lines, emitters int
		spacing         float64
		pipes           int
	}{
		{"100 m of 16 mm drip pipe with 2 L/h every 300 mm, in 4 lines", "drip", 4, 83, 0.3, 1},
		{"48 drippers of 2 L/h, 12 m of 16 mm drip pipe", "drip", 1, 48, 0.25, 1},
		{"48 drippers of 2 L/h, 6 m of 25 mm PE, 12 m of 16 mm drip pipe", "drip pipe", 1, 48, 0.25, 2},
		{"48 drippers of 2 L/h, 12 m of 16 mm drip pipe, regulator 1.5 bar", "drip regulator", 1, 48, 0.25, 1},
	} {
		t.Run(c.feeds, func(t *testing.T) {
			m := made(t, survey.Given{"static": {"3 bar"}, "valves": {"drip 3/4 in"}, "feeds": {"drip: " + c.feeds}})
			require.Len(t, m.Site.Laterals, 1)
			require.Empty(t, m.Site.Outlets)
			assert.Len(t, m.Site.Pipes, c.pipes)
			l := m.Site.Laterals[0]
			assert.Equal(t, []any{c.from, c.lines, c.emitters}, []any{l.From, l.Lines, l.Emitters})
			assert.InDelta(t, c.spacing, l.Spacing.SI, 1e-9)
			assert.InDelta(t, 0.0136, l.Bore.SI, 1e-9)
		})
	}
}

// What a site has between tap and manifold, at its inlet and on its wires is drawn as it was answered.
func TestFittings(t *testing.T) {
	m := made(t, given("preventer", "BA 3/4 in", "meter", "3/4 in, 1 L a pulse", "filter", "1 in", "inlet-bore", "13 mm",
		"coil", "38 ohm", "rated", "830 mA", "lifts", "0.35 bar", "volts", "24 V AC"))
	s := m.Site
	require.Len(t, s.BackflowPreventers, 1)
	require.Len(t, s.Meters, 1)
	require.Len(t, s.Filters, 1)
	assert.Equal(t, []string{"mains", "meter", "preventer", "filter"},
		[]string{s.Meters[0].From, s.BackflowPreventers[0].From, s.Filters[0].From, s.Pipes[0].From})
	assert.Equal(t, []any{"BA", 4}, []any{s.BackflowPreventers[0].Type, s.BackflowPreventers[0].Category})
	assert.InDelta(t, 0.013, s.Outlets[0].Bore.SI, 1e-9)
	for _, v := range s.Valves {
		assert.Equal(t, []any{sitefile.Pilot, "ac"}, []any{v.Operates, v.Current})
		assert.InDelta(t, 38, v.Coil.SI, 1e-9)
		assert.InDelta(t, 0.35e5, v.OpensAt.SI, 1e-6)
	}
	assert.InDelta(t, 0.83, s.Power.Rated.SI, 1e-9)
	assert.NotContains(t, strings.Join(m.Doubts, "\n"), "no backflow preventer")
}

// A site that breaks a rule is recorded as it is, and the report says what can come of it.
func TestASiteThatBreaksARule(t *testing.T) {
	low := made(t, given("inlet", "890 mm"))
	assert.Contains(t, strings.Join(low.Doubts, "\n"), "DANGER: the inlet's mouth, at 890 mm, is less than 32 mm")
	assert.InDelta(t, 0.010, low.Site.Outlets[0].AirGap.SI, 1e-9)
	dips := made(t, given("inlet", "600 mm"))
	assert.Contains(t, strings.Join(dips.Doubts, "\n"), "may be drawn back into the mains")
	assert.InDelta(t, 0.6, dips.Site.Outlets[0].Dips.SI, 1e-9)
	assert.Contains(t, strings.Join(dips.Doubts, "\n"), "DANGER: no backflow preventer")
}
