package evidence

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/signal"
)

// The log as its format says: one scenario that ran, and one that did not.
func TestLogOfARun(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, write(dir, []*harness.Result{hostile(), unable()}, sampleMeta))
	golden(t, "run.log", []byte(files(t, dir)[LogFile]))
}

// killed is a folder in which a run was killed: one scenario was done, and one under way, whose log was flushed.
func killed(t *testing.T) string {
	dir := t.TempDir()
	w, err := Open(dir, sampleMeta)
	require.NoError(t, err)
	require.NoError(t, add(w, link("The access point dies while the sprays run", 8, 363.8)))
	require.NoError(t, watch(w, bounce()))
	require.NoError(t, w.Flush())
	require.NoError(t, w.folder.close()) // as the system does for a process that is gone
	return dir
}

func TestKilledRunIsReadable(t *testing.T) {
	dir := killed(t)
	s, err := Read(dir)
	require.NoError(t, err)
	assert.False(t, s.Complete)
	assert.Equal(
		t,
		"2 scenarios: 1 held, 1 could not be made. 3 outcomes: 1 held, 2 could not be made",
		s.Totals.String(),
	)
	first := s.Scenarios[0]
	assert.Equal(t, "features/flood.feature", first.File)
	assert.Contains(t, first.Error, "unfinished")
	assert.Equal(t, signal.Hour, first.Ended.NS, "how far it came")
	assert.Equal(t, 2*signal.Minute, first.Begins.NS)
	assert.Equal(t, 15*signal.Minute, first.Actions[0].Started.NS, "when its fault was injected")
	assert.Equal(t, 30*signal.Minute, first.Actions[0].Windows[0].Until.NS)

	exported, err := Export(dir)
	require.NoError(t, err)
	assert.Equal(t, asJSON(t, s), asJSON(t, exported))
	all := files(t, dir)
	assert.Contains(t, all[ReportFile], "Incomplete: the run was broken off")
	assert.Contains(t, all[ReportFile], "header-tank level", "what the unfinished scenario recorded is drawn")
	assert.Contains(t, all[TraceFile], "features/flood.feature:12,1410.000000000,header-tank.level,0.766,m")
	assert.Contains(t, all[JUnitFile], `<error message="the run was broken off"`)
	again, err := Export(dir)
	require.NoError(t, err)
	assert.Equal(t, asJSON(t, s), asJSON(t, again))
	assert.Equal(t, all, files(t, dir), "making the files again gives the same")
}

// The files of a run are those that are made from its log, whenever they are made.
func TestExportGivesTheSameBytes(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, write(dir, append(samples(), hostile()), sampleMeta))
	want := files(t, dir)
	for _, name := range exports {
		require.NoError(t, os.RemoveAll(filepath.Join(dir, name)))
	}
	s, err := Read(dir)
	require.NoError(t, err)
	assert.True(t, s.Complete)
	_, err = Export(dir)
	require.NoError(t, err)
	assert.Equal(t, want, files(t, dir))
}

// Wherever a log was cut off, it is read up to its last whole line.
func TestLogIsReadUpToItsLastWholeLine(t *testing.T) {
	dir := killed(t)
	name := filepath.Join(dir, PartialName, "000002.log")
	whole, err := os.ReadFile(name)
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(1, 2))
	for range 100 {
		cut := whole[:random.IntN(len(whole)+1)]
		require.NoError(t, os.WriteFile(name, cut, 0o666))
		s, err := Read(dir)
		require.NoError(t, err)
		lines := bytes.Count(cut, []byte("\n"))
		require.Len(t, s.Scenarios, 1+min(1, lines), "cut off after %d bytes", len(cut))
		if lines < 3 {
			continue
		}
		root, err := os.OpenRoot(dir)
		require.NoError(t, err)
		log, err := openLog(root)
		require.NoError(t, err)
		trace, err := log.scenarios[0].read()
		require.NoError(t, err)
		changes := 0
		for id := range trace.Signals() {
			changes += len(trace.Column(signal.ID(id)).At)
		}
		ends := bytes.Count(cut[:bytes.LastIndexByte(cut, '\n')], []byte(`{"end"`))
		assert.Equal(t, lines-2-ends, changes, "each whole line is a change")
		log.close()
		require.NoError(t, root.Close())
	}
}

// A run of days that was killed in the middle of a line opens, with more changes in its log than a trace has in memory,
// and everything in it is drawn.
func TestKilledRunOfDays(t *testing.T) {
	dir := killed(t)
	name := filepath.Join(dir, PartialName, "000002.log")
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	begun, _, _ := bytes.Cut(text, []byte(`{"end"`))
	out := bytes.NewBuffer(begun)
	const changes, level = 300_000, 5 // header-tank.level
	for i := range signal.Time(changes) {
		fmt.Fprintf(out, "%d %d %g\n", signal.Day+i*signal.Second/2, level, 0.5+0.05*float64(i%7))
	}
	out.WriteString("5000000000")
	require.NoError(t, os.WriteFile(name, out.Bytes(), 0o666))

	s, err := Export(dir)
	require.NoError(t, err)
	assert.False(t, s.Complete)
	assert.Equal(t, signal.Day+(changes-1)*signal.Second/2, s.Scenarios[0].Ended.NS)
	all := files(t, dir)
	assert.Greater(t, strings.Count(all[TraceFile], "\n"), changes)
	assert.Contains(t, all[TraceFile], "features/flood.feature:12,86400.500000000,header-tank.level,0.55,m\n")
	assert.Contains(t, all[ReportFile], "Incomplete: the run was broken off")
	assert.Contains(t, all[ReportFile], "header-tank level")
}

// A comparison says of damage what a report says.
func TestDamagedTraceIsRefused(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, write(dir, samples(), sampleMeta))
	require.NoError(t, os.Remove(filepath.Join(dir, RunFile)))
	name := filepath.Join(dir, LogFile)
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	at := bytes.Index(text, []byte("\n0 ")) + 1
	require.Positive(t, at)
	text[at] ^= 0x40
	require.NoError(t, os.WriteFile(name, text, 0o666))
	_, exported := Export(dir)
	require.ErrorContains(t, exported, "run.log:")
	_, err = Read(dir)
	assert.EqualError(t, err, exported.Error())
}

func TestBadLogIsRefused(t *testing.T) {
	const head = `{"run":{"format":"ullage log","version":1,"controller":"simulated","seed":"1"}}` + "\n"
	const begun = head + `{"scenario":{"record":{"state":"could not be made"},"marks":[]}}` + "\n" +
		`{"signals":[{"device":"tank","quantity":"level","dimension":"length","unit":"m","shape":"linear"}]}` + "\n"
	for name, c := range map[string]struct{ text, want string }{
		"another format":       {strings.Replace(head, "ullage log", "laps", 1), "run.log:1: read format \"laps\""},
		"another version":      {strings.Replace(head, `"version":1`, `"version":7`, 1), "version 7"},
		"no head":              {`{"complete":true}` + "\n", "does not begin with what the run was made with"},
		"an unknown entry":     {head + `{"laps":3}` + "\n", "run.log:2:"},
		"no such signal":       {begun + "0 1 3\n", "expected a number below 1"},
		"no signal":            {begun + "0\n", "expected a number below 1"},
		"no number":            {begun + "0 0 x\n", `read "x"; expected a number`},
		"not a number":         {begun + "0 0 NaN\n", `read "NaN"; expected a number`},
		"no time":              {begun + " 0 1\n", "expected a number"},
		"time runs backwards":  {begun + "5 0 1\n4 0 2\n", "runs backwards"},
		"a signal twice":       {strings.Replace(begun, `[{`, `[{"device":"tank","quantity":"level","dimension":"length","unit":"m","shape":"held"},{`, 1), "is there twice"},
		"an unknown dimension": {strings.Replace(begun, `"length"`, `"laps"`, 1), `unknown dimension "laps"`},
		"a change too early":   {head + `{"scenario":{"record":{"state":"held"},"marks":[]}}` + "\n0 0 1\n", "outside of a run"},
	} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, LogFile), []byte(c.text), 0o666))
		_, err := Read(dir)
		assert.ErrorContains(t, err, c.want, name)
	}
}

func FuzzLog(f *testing.F) {
	f.Add([]byte(`{"run":{"format":"ullage log","version":1,"seed":"1"}}
{"scenario":{"record":{"state":"held","actions":[{"windows":[{"from":{"ns":0}}]}]},"marks":["script.act 1"]}}
{"signals":[{"device":"script","quantity":"act 1","dimension":"number","unit":"","shape":"event"},{"device":"tank","quantity":"level","dimension":"length","unit":"m","shape":"linear"}]}
0 1 0.2
5 0 1
 1 0.3
{"end":9}
{"result":{"state":"held","ended":{"ns":9}}}
{"complete":true}
`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var l recording
		if l.scan("run.log", bytes.NewReader(text)) == nil {
			for i := range l.scenarios {
				_, _ = l.scenarios[i].detail()
			}
			_ = l.writeTraces(io.Discard)
		}
	})
}
