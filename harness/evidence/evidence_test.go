package evidence

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"flag"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

var update = flag.Bool("update", false, "write the golden files anew; commit them only if you know what changed them")

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o777))
		require.NoError(t, os.WriteFile(path, got, 0o666))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "write it with -update")
	was, is := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	for i := range max(len(was), len(is)) {
		if i >= len(was) || i >= len(is) || was[i] != is[i] {
			t.Errorf("%s has changed from line %d on; if that is meant, write it anew with -update\n was %q\n  is %q",
				path, i+1, was[min(i, len(was)-1)], is[min(i, len(is)-1)])
			return
		}
	}
}

func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		all[e.Name()] = string(text)
	}
	return all
}

func TestFilesOfARun(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "evidence")
	require.NoError(t, write(dir, samples(), sampleMeta))
	all := files(t, dir)
	assert.ElementsMatch(
		t,
		[]string{LockFile, LogFile, RunFile, TraceFile, JUnitFile, ReportFile},
		slices.Collect(maps.Keys(all)),
	)
	assert.Empty(t, all[LockFile])
	golden(t, "run.json", []byte(all[RunFile]))
	golden(t, "junit.xml", []byte(all[JUnitFile]))
	rows, err := csv.NewReader(strings.NewReader(all[TraceFile])).ReadAll()
	require.NoError(t, err)
	changes := 0
	for _, r := range samples() {
		if r.Run != nil {
			for i := range r.Run.Trace.Signals() {
				changes += len(r.Run.Trace.Column(signal.ID(i)).At)
			}
		}
	}
	assert.Len(t, rows, 1+changes, "trace.csv holds every change of every scenario")
}

func TestAnyOrderOfArrivalGivesTheSameBytes(t *testing.T) {
	var want map[string]string
	for round := range 8 {
		results := append(samples(), hostile())
		random := rand.New(rand.NewPCG(uint64(round), 1))
		random.Shuffle(len(results), func(i, j int) { results[i], results[j] = results[j], results[i] })
		dir := t.TempDir()
		w, err := Open(dir, sampleMeta)
		require.NoError(t, err)
		var group sync.WaitGroup
		for _, r := range results {
			group.Go(func() { assert.NoError(t, add(w, r)) })
		}
		group.Wait()
		_, err = w.Close(true)
		require.NoError(t, err)
		if got := files(t, dir); want == nil {
			want = got
		} else {
			for name := range want {
				assert.True(t, want[name] == got[name], "%s depends on the order in which results arrive", name)
			}
		}
	}
}

func TestReadsBackWhatItWrote(t *testing.T) {
	dir := t.TempDir()
	results := append(samples(), hostile())
	require.NoError(t, write(dir, results, sampleMeta))
	got, err := Read(dir)
	require.NoError(t, err)
	want := Summarise(results, sampleMeta)
	assert.Equal(t, asJSON(t, want), asJSON(t, got))
	without := 0
	for _, r := range got.Scenarios {
		for _, o := range r.Outcomes {
			if o.MarginText == "no margin" {
				without++
				assert.Nil(t, o.Margin)
			}
		}
	}
	assert.Equal(t, 1, without, "a valve that never opened has no margin, also when it is read back")
}

func asJSON(t *testing.T, v any) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, encode(&b, v))
	return b.String()
}

func TestTraceIsWrittenInOrder(t *testing.T) {
	r := record()
	level := r.declare("tank", "level", quantity.Length, signal.Linear)
	valve := r.declare("valve, old", "open", quantity.State, signal.Held)
	r.declare("idle", "flow", quantity.Flow, signal.Linear)
	r.Put(signal.Change{At: 0, ID: valve, Value: 1})
	r.Put(signal.Change{At: 0, ID: level, Value: 0.25})
	r.Put(signal.Change{At: 1, ID: level, Value: 0.5})
	r.Put(signal.Change{At: 1, ID: level, Value: 1e-7})
	r.Put(signal.Change{At: 90*signal.Second + 5, ID: valve, Value: 0})
	result := judged(&harness.Script{File: "f.feature", Line: 3}, r.end(100), 0)
	dir := t.TempDir()
	require.NoError(t, write(dir, []*harness.Result{result}, sampleMeta))
	assert.Equal(t, strings.Join([]string{strings.TrimSpace(TraceHeader),
		`f.feature:3,0.000000000,tank.level,0.25,m`,
		`f.feature:3,0.000000000,"valve, old.open",1,`,
		`f.feature:3,0.000000001,tank.level,0.5,m`,
		`f.feature:3,0.000000001,tank.level,1e-07,m`,
		`f.feature:3,90.000000005,"valve, old.open",0,`,
		``}, "\n"), files(t, dir)[TraceFile])
}

func TestReadRefuses(t *testing.T) {
	good := asJSON(t, Summarise(samples(), sampleMeta))
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "not from a run of ours"},
		{"another format", `{"format": "laps"}`, `"format": "ullage evidence"`},
		{"another version", strings.Replace(good, `"version": 2`, `"version": 1`, 1), "version 1, this program reads version 2"},
		{"an unknown key", strings.Replace(good, `"complete"`, `"laps"`, 1), "laps"},
		{"an unknown state", strings.Replace(good, `"state": "held"`, `"state": "fine"`, 1), `"fine" is no state; it is one of could not be made,`},
		{"a number for a text", strings.Replace(good, `"site": "Tern Lane"`, `"site": 3`, 1), "line "},
		{"more behind it", good + "{}", "not from a run of ours"},
		{"half a file", good[:len(good)/2], "not from a run of ours"},
	} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, RunFile), []byte(c.text), 0o666))
		_, err := Read(dir)
		require.Error(t, err, c.name)
		assert.Contains(t, err.Error(), c.want, c.name)
		assert.Contains(t, err.Error(), RunFile, c.name)
	}
	_, err := Read(filepath.Join(t.TempDir(), "nowhere"))
	assert.ErrorIs(t, err, os.ErrNotExist)
}

func FuzzDecode(f *testing.F) {
	f.Add(
		[]byte(
			`{"format": "ullage evidence", "version": 2, "scenarios": [{"state": "held", "outcomes": [{"margin": null}]}]}`,
		),
	)
	f.Add([]byte(`{"seed": "-1"}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var s Summary
		if decode(text, &s) == nil {
			_ = Table(&bytes.Buffer{}, &s, "out", 80, true)
			_, _ = Compare(&bytes.Buffer{}, &s, &s, 80, false)
			_ = JUnit(&bytes.Buffer{}, &s)
			_ = report(&bytes.Buffer{}, &s, nil, nil)
		}
	})
}

func TestHostileNames(t *testing.T) {
	dir := t.TempDir()
	results := []*harness.Result{hostile()}
	require.NoError(t, write(dir, results, sampleMeta))
	all := files(t, dir)
	for _, tag := range []string{"<script>alert", "<img", "<svg onload", "<b>", "<i>", "<odd>", "<u>", "<site>", "<f>", "<t>", "\x00", "\x1b"} {
		assert.False(t, strings.Contains(all[ReportFile], tag), "a name became markup in report.html: %q", tag)
	}
	assert.Contains(t, all[ReportFile], "&lt;script&gt;alert(&#34;name&#34;)&lt;/script&gt;")
	assert.Equal(t, 1, strings.Count(all[ReportFile], "<script"), "the only script of the report is its own")

	rows, err := csv.NewReader(strings.NewReader(all[TraceFile])).ReadAll()
	require.NoError(t, err)
	assert.Equal(
		t,
		[]string{
			`features/it's <odd>, "really".feature:3`,
			"50.000000000",
			`<script>alert("device")</script>.level`,
			"0.3",
			"m",
		},
		rows[3],
	)

	var run map[string]any
	require.NoError(t, json.Unmarshal([]byte(all[RunFile]), &run))
	got, err := Read(dir)
	require.NoError(t, err)
	assert.Equal(t, results[0].Script.Name, got.Scenarios[0].Name, "run.json keeps names as they are")

	var suites struct {
		Suite []struct {
			Name string `xml:"name,attr"`
			Case []struct {
				Name string `xml:"name,attr"`
			} `xml:"testcase"`
		} `xml:"testsuite"`
	}
	require.NoError(t, xml.Unmarshal([]byte(all[JUnitFile]), &suites))
	assert.Equal(t, `Feature <b> & 'more'`, suites.Suite[0].Name)
	assert.Equal(t, `<script>alert("name")</script> & "quotes", ]]> \x00\x1b[2J`, suites.Suite[0].Case[0].Name)

	var table bytes.Buffer
	require.NoError(t, Table(&table, got, dir, 80, false))
	assert.NotContains(t, table.String(), "\x1b", "a name must not steer the terminal")
}
