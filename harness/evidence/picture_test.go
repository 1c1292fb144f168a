package evidence

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

func TestPictureMarksTheSmallestMargin(t *testing.T) {
	for _, c := range []struct {
		name     string
		result   *harness.Result
		pictures int
		shows    []string
	}{
		{"a level below its limit", bounce(), 1, []string{"margin 33.6 mm", "limit 800 mm", "level, mm", "flow, L/min", "pressure, bar",
			"tank-high closed", "the contact &#34;tank-high&#34; bounces for 15 minutes", "00:20:00"}},
		{"a level above its limit", hostile(), 1, []string{"missed by 50 mm", "limit 250 mm"}},
		{"a deadline met closely", link("met", 1, 363.8), 2, []string{"margin 1.2 s", "02:10:05", "sprays disc", "sent: run limit reached"}},
		{"a deadline missed", link("missed", 1, 372.25), 2, []string{"missed by 7.25 s"}},
		{"a deadline met easily", shut(), 1, []string{"margin 30 min"}},
		{"nothing was run", unable(), 0, nil},
		{"not exercised", dull(), 1, []string{"header-tank level"}},
	} {
		svg := string(pictures(c.result))
		assert.Equal(t, c.pictures, strings.Count(svg, "<svg"), c.name)
		for _, text := range c.shows {
			assert.Contains(t, svg, text, c.name)
		}
		wellFormed(t, svg)
	}
	assert.NotContains(t, string(pictures(dull())), `class="d"`, "what was not exercised has no margin")
}

// pictures are those of a result.
func pictures(r *harness.Result) []byte {
	record, trace := recordAndTrace(r)
	return drawPictures(record, trace)
}

func sceneOf(r *harness.Result) *scene { return newScene(recordAndTrace(r)) }

func recordAndTrace(r *harness.Result) (*Record, *signal.Trace) {
	record := NewRecord(r, sampleMeta)
	if r.Run == nil {
		return &record, nil
	}
	return &record, r.Run.Trace
}

// shut is the run of bounce, judged by its deadline alone.
func shut() *harness.Result {
	r := bounce()
	r.Script.Outcomes, r.Verdicts = r.Script.Outcomes[1:], r.Verdicts[1:]
	return r
}

func wellFormed(t *testing.T, svg string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader("<all>" + svg + "</all>"))
	for {
		if _, err := d.Token(); err == io.EOF {
			return
		} else if err != nil {
			require.NoError(t, err, "the picture is not well formed: %s", svg)
		}
	}
}

// The margin is drawn to scale: 33.6 mm on the axis of the panel.
func TestDimensionLineIsToScale(t *testing.T) {
	s := sceneOf(bounce())
	p := &picture{scene: s}
	low, high := p.extent(s.panels[0])
	axis := newScale(quantity.Length, low, high)
	assert.InDelta(t, 0.8, s.mark.limit, 1e-12)
	assert.InDelta(
		t,
		33.6/(axis.high-axis.low),
		axis.share(s.mark.limit)-axis.share(s.mark.limit-s.mark.toLimit(p)),
		1e-9,
	)
}

func TestLimitIsFoundFromTheMargin(t *testing.T) {
	r := record()
	id := r.declare("tank", "level", quantity.Length, signal.Linear)
	r.course(id, 0, 0.2, 50, 0.7, 60, 0.7)
	r.changes = append(r.changes, signal.Change{At: 60 * signal.Second, ID: id, Value: 0.3})
	trace := r.end(100)
	at := func(s float64, margin, allowance float64) outcome.Verdict {
		return outcome.Verdict{At: signal.FromSeconds(s), Margin: margin, Allowance: allowance, Dim: quantity.Length}
	}
	for _, c := range []struct {
		name string
		v    outcome.Verdict
		want float64
	}{
		{"at most", at(50, 0.1, 0.8), 0.8},
		{"at least", at(0, 0.15, 0.05), 0.05},
		{"at most, failed", at(50, -0.1, 0.6), 0.6},
		{"the value before a jump", at(60, 0.1, 0.8), 0.8},
		{"a rise at a peak", at(50, 0.1, 0.3), 0.8},
		{"a rise at a trough", at(0, 0.1, 0.7), 0.1},
		{"below zero", at(0, 0.7, 0.5), -0.5},
	} {
		assert.InDelta(t, c.want, limitOf(trace, id, c.v.At, c.v.Margin, c.v.Allowance), 1e-12, c.name)
	}
}

// busy is a run in which everything that may be shown never stands still.
func busy(changes int) *harness.Result {
	r := record()
	random := rand.New(rand.NewPCG(1, 2))
	r.course(r.declare("script", "begins", quantity.None, signal.Event), 0, 1)
	var ids []signal.ID
	for i := range 5 {
		ids = append(ids, r.declare(fmt.Sprintf("tank-%d", i), "level", quantity.Length, signal.Linear),
			r.declare(fmt.Sprintf("pipe-%d", i), "pressure", quantity.Pressure, signal.Linear),
			r.declare(fmt.Sprintf("meter-%d", i), "flow", quantity.Flow, signal.Linear),
			r.declare(fmt.Sprintf("valve-%d", i), "disc", quantity.Fraction, signal.Linear),
			r.declare(fmt.Sprintf("contact-%d", i), "closed", quantity.State, signal.Held),
			r.declare(fmt.Sprintf("controller-%d", i), "alert", quantity.None, signal.Event))
	}
	r.flush()
	for i := range changes {
		id := ids[i%len(ids)]
		v := random.Float64()
		switch r.Signals()[id].Dim {
		case quantity.State:
			v = math.Round(v)
		case quantity.Pressure:
			v *= 4e5
		case quantity.Flow:
			v *= 1e-3
		}
		r.Put(signal.Change{At: signal.Time(i) * (signal.Day / signal.Time(changes)), ID: id, Value: v})
	}
	r.Close(signal.Day)
	script := &harness.Script{Name: "Busy", File: "features/busy.feature", Line: 1, Outcomes: []outcome.Outcome{
		{
			Text:     "no tank spills",
			Property: outcome.Always(outcome.Condition{Signal: "tank-0.level", Is: outcome.AtMost, Limit: 1.1}),
		}}}
	return judged(script, r.Trace, 0)
}

func TestPictureStaysSmall(t *testing.T) {
	svg := pictures(busy(300_000))
	assert.Less(t, len(svg), 60_000, "the picture of a day in which nothing stands still")
	t.Logf("%d bytes", len(svg))
}

// A peak of one change among a hundred thousand is in the picture at its full height.
func TestNoPeakIsLost(t *testing.T) {
	r := record()
	id := r.declare("tank", "level", quantity.Length, signal.Linear)
	for i := range 100_000 {
		v := 0.001 * float64(i%7)
		if i == 61_234 {
			v = 1
		}
		r.Put(signal.Change{At: signal.Time(i) * signal.Second, ID: id, Value: v})
	}
	trace := r.end(100_000)
	p := &picture{scene: &scene{trace: trace, to: trace.End()}}
	for _, width := range []float64{1, 4, 16} {
		path := string(p.curve(id, func(v float64) float64 { return 100 - float64(100*v) }, width))
		assert.InDelta(t, 0, highest(t, path), 0.1, "columns of %g pixels", width)
	}
}

// highest follows a path and returns its smallest y.
func highest(t *testing.T, path string) float64 {
	t.Helper()
	least, y := math.Inf(1), 0.0
	number := regexp.MustCompile(`-?(\d+\.\d|\d+|\.\d)`)
	for _, move := range regexp.MustCompile(`[Mlhv][^Mlhv]*`).FindAllString(path, -1) {
		var n []float64
		for _, text := range number.FindAllString(move[1:], -1) {
			v, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			n = append(n, v)
		}
		switch move[0] {
		case 'M':
			y = n[1]
		case 'l':
			require.Len(t, n, 2, "%q", move)
			y += n[1]
		case 'v':
			y += n[0]
		}
		least = min(least, y)
	}
	return least
}

func TestTimeTicks(t *testing.T) {
	for _, c := range []struct {
		from, to signal.Time
		want     string
	}{
		{0, signal.Hour, "00:00:00 00:10:00 00:20:00 00:30:00 00:40:00 00:50:00 01:00:00"},
		{signal.Hour, 7 * signal.Hour, "01:00:00 02:00:00 03:00:00 04:00:00 05:00:00 06:00:00 07:00:00"},
		{7803 * signal.Second, 7807500 * signal.Millisecond, "02:10:03 02:10:03.5 02:10:04 02:10:04.5 02:10:05 02:10:05.5 02:10:06 02:10:06.5 02:10:07 02:10:07.5"},
		{0, 1, "00:00:00"},
		{0, 3 * signal.Day, "00:00:00 12:00:00 1d+00:00:00 1d+12:00:00 2d+00:00:00 2d+12:00:00 3d+00:00:00"},
	} {
		var got []string
		for _, tick := range timeTicks(c.from, c.to, 10) {
			got = append(got, tick.String())
		}
		assert.Equal(t, c.want, strings.Join(got, " "))
	}
	assert.Less(t, len(timeTicks(0, signal.Never-1, 9)), 200, "even the longest run has an axis")
}

func TestScale(t *testing.T) {
	for _, c := range []struct {
		dim       quantity.Dimension
		low, high float64
		want      string
	}{
		{quantity.Length, 0.23, 0.9, "0 200 400 600 800 1000"},
		{quantity.Pressure, 2.9e5, 4.1e5, "2.5 3.0 3.5 4.0 4.5"},
		{quantity.Flow, 0, 0, "0.0 0.2 0.4 0.6 0.8 1.0"},
		{quantity.Count, 0, 0, "0 1"},
		{quantity.Count, 0, 3, "0 1 2 3"},
		{quantity.Fraction, 0.258, 0.306, "25 26 27 28 29 30 31"},
		{quantity.Temperature, -5, 12, "-5 0 5 10 15"},
	} {
		s := newScale(c.dim, c.low, c.high)
		labels, shares := s.ticks()
		assert.Equal(t, c.want, strings.Join(labels, " "))
		assert.InDelta(t, 0, shares[0], 1e-12)
		assert.InDelta(t, 1, shares[len(shares)-1], 1e-12)
		assert.GreaterOrEqual(t, s.share(c.low), -1e-9)
		assert.LessOrEqual(t, s.share(c.high), 1+1e-9)
	}
	random := rand.New(rand.NewPCG(3, 4))
	for range 10_000 {
		low := random.NormFloat64() * math.Pow(10, random.Float64()*12-6)
		high := low + random.Float64()*math.Pow(10, random.Float64()*12-6)
		s := newScale(quantity.Length, low, high)
		labels, _ := s.ticks()
		assert.True(t, len(labels) >= 2 && len(labels) <= 12, "%d ticks from %g to %g", len(labels), low, high)
		assert.True(
			t,
			s.low <= s.trade(low)+1e-6*s.step && s.high >= s.trade(high)-1e-6*s.step,
			"the axis %g to %g does not reach %g to %g",
			s.low,
			s.high,
			s.trade(low),
			s.trade(high),
		)
	}
}

func TestNumbersOfThePicture(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 0.04: "0", 0.5: ".5", -0.5: "-.5", 12: "12", 12.34: "12.3", -12.36: "-12.4", 838: "838"} {
		assert.Equal(t, want, number(x))
	}
}

// A browser shows the report: its own script runs, the names in it do not, and nothing is fetched.
func TestReportInABrowser(t *testing.T) {
	var browser string
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			browser = path
			break
		}
	}
	if browser == "" {
		if os.Getenv("CI") != "" {
			t.Fatal("chromium is missing; install the package chromium")
		}
		t.Skip("chromium is not installed: the report was not opened in a browser")
	}
	dir := t.TempDir()
	require.NoError(t, write(filepath.Join(dir, "evidence"), append(samples(), hostile()), sampleMeta))
	page := exec.Command(
		browser,
		"--headless",
		"--no-sandbox",
		"--disable-gpu",
		"--disable-quic",
		"--no-first-run",
		"--disable-background-networking",
		"--disable-component-update",
		"--disable-sync",
		"--user-data-dir="+filepath.Join(dir, "profile"),
		"--virtual-time-budget=2000",
		"--enable-logging=stderr",
		"--log-level=0",
		"--dump-dom",
		"file://"+filepath.Join(dir, "evidence", ReportFile),
	)
	var log bytes.Buffer
	page.Stderr = &log
	dom, err := page.Output()
	require.NoError(t, err, log.String())
	assert.Contains(t, string(dom), `<p id="comfort">`, "the report's own script ran under its own policy")
	assert.Equal(t, 7, bytes.Count(dom, []byte(`<details class="scenario"`)))
	assert.NotContains(t, log.String(), "CONSOLE", "the browser complains about the report")
}

func TestPictureSaysHowHighASurgeWas(t *testing.T) {
	r := record()
	begins := r.declare("script", "begins", quantity.None, signal.Event)
	surge := r.declare("sprays", "surge", quantity.Pressure, signal.Event)
	r.course(begins, 0, 1)
	r.course(surge, 10, 5e5, 40, 9.2e5)
	trace := r.end(60)
	result := judged(&harness.Script{Name: "surge", Outcomes: []outcome.Outcome{{Text: "the surge stays below 10 bar",
		Property: outcome.Always(
			outcome.Condition{Signal: "sprays.surge", Is: outcome.AtMost, Limit: 10e5},
		)}}}, trace, 0)
	assert.Contains(t, string(pictures(result)), "9.2 bar")
}

func TestWaterOfABedDoesNotHideWhatItLost(t *testing.T) {
	r := record()
	begins := r.declare("script", "begins", quantity.None, signal.Event)
	lost := r.declare("border", "lost", quantity.Volume, signal.Linear)
	water := r.declare("border", "water", quantity.Volume, signal.Linear)
	r.course(begins, 0, 1)
	r.course(lost, 0, 0, 60, 0.012)
	r.course(water, 0, 0.6, 60, 0.9)
	picture := string(
		pictures(
			judged(&harness.Script{Name: "a deep probe", Outcomes: []outcome.Outcome{{Text: "at most 30 L are lost",
				Property: outcome.RiseAtMost("border.lost", 0.03)}}}, r.end(60), 0),
		),
	)
	assert.Contains(t, picture, "border lost")
	assert.NotContains(t, picture, "border water", "hundreds of litres on the axis of a dozen")
}
