package evidence

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
)

func TestForeignFolderIsLeftAlone(t *testing.T) {
	for name, content := range map[string]string{"thesis.txt": "ten years of work", RunFile: `{"laps": 3}`} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(content), 0o666))
		err := write(dir, samples(), sampleMeta)
		require.ErrorContains(t, err, "nothing was written")
		_, err = Export(dir)
		require.ErrorContains(t, err, "nothing was written")
		assert.Equal(t, map[string]string{name: content}, files(t, dir))
	}
}

func TestAnEmptyFolderStaysEmpty(t *testing.T) {
	dir := t.TempDir()
	_, err := Export(dir)
	require.ErrorContains(t, err, "holds no run.json and no run.log")
	assert.Empty(t, files(t, dir), "a report without evidence marks the folder as evidence")
}

// A run may have been killed at any moment, or have found the disk full: the next one may use its folder.
func TestFolderOfAKilledRunIsTaken(t *testing.T) {
	for name, left := range map[string][]string{
		"before it wrote anything":     {LockFile},
		"before its first scenario":    {LockFile, PartialName + "/"},
		"while it wrote the first log": {LockFile, PartialName + "/", PartialName + "/000000.log.tmp"},
		"while it wrote the report":    {LockFile, LogFile, TraceFile, ReportFile + temporary},
		"an older program's":           {RunFile, TraceFile, PartialName + "/", PartialName + "/0001.json"},
	} {
		dir := t.TempDir()
		for _, f := range left {
			if f[len(f)-1] == '/' {
				require.NoError(t, os.Mkdir(filepath.Join(dir, f), 0o777))
				continue
			}
			require.NoError(
				t,
				os.WriteFile(filepath.Join(dir, f), []byte(`{"format": "ullage evidence", "version": 1}`), 0o666),
			)
		}
		require.NoError(t, write(dir, samples(), sampleMeta), name)
		assert.Len(t, files(t, dir), 6, "killed %s: what it left is still there", name)
	}
}

func TestTwoRunsDoNotShareAFolder(t *testing.T) {
	dir := t.TempDir()
	first, err := Open(dir, sampleMeta)
	require.NoError(t, err)
	_, err = Open(dir, sampleMeta)
	require.ErrorContains(t, err, "is in use by process ")
	_, err = Export(dir)
	require.ErrorContains(t, err, "is in use by process ")
	require.NoError(t, add(first, bounce()), "the first is not disturbed")
	s, err := first.Close(true)
	require.NoError(t, err)
	assert.Equal(t, 1, s.Totals.Scenarios.All)
	require.NoError(t, write(dir, samples(), sampleMeta), "the folder is free again")
}

// Links in the place of files lead nowhere: what they point at stays as it is.
func TestLinksAreNotFollowed(t *testing.T) {
	outside := filepath.Join(t.TempDir(), "precious")
	require.NoError(t, os.WriteFile(outside, []byte("precious"), 0o666))
	dir := t.TempDir()
	require.NoError(t, write(dir, samples(), sampleMeta))
	for _, name := range append(exports, LogFile, ProvenanceFile, PartialName) {
		require.NoError(t, os.RemoveAll(filepath.Join(dir, name)))
		require.NoError(t, os.Symlink(outside, filepath.Join(dir, name)))
		require.NoError(t, os.Symlink(outside, filepath.Join(dir, name+temporary)))
	}
	require.NoError(t, write(dir, samples(), sampleMeta))
	got, err := os.ReadFile(outside)
	require.NoError(t, err)
	assert.Equal(t, "precious", string(got), "a file outside of the folder was written through a link")
	s, err := Read(dir)
	require.NoError(t, err)
	assert.Equal(t, 6, s.Totals.Scenarios.All)

	require.NoError(t, os.Remove(filepath.Join(dir, RunFile)))
	require.NoError(t, os.Remove(filepath.Join(dir, LogFile)))
	require.NoError(t, os.Symlink(outside, filepath.Join(dir, LogFile)))
	_, err = Read(dir)
	assert.ErrorContains(t, err, "run.log: it is a link that leads out of its folder; expected the file itself")
}

// A file whose writing fails leaves the one that stood there, and nothing beside it.
func TestAFileIsWholeOrNotThere(t *testing.T) {
	dir := t.TempDir()
	f, err := claim(dir)
	require.NoError(t, err)
	defer f.close()
	require.NoError(t, f.write("a", func(out io.Writer) error { _, err := out.Write([]byte("old")); return err }))
	full := errors.New("no space left on device")
	assert.ErrorIs(t, f.write("a", func(out io.Writer) error { _, _ = out.Write([]byte("ne")); return full }), full)
	assert.Equal(t, map[string]string{LockFile: files(t, dir)[LockFile], "a": "old"}, files(t, dir))
}

// A full disk is reported by the scenario that met it, and not passed over.
func TestFullDiskIsReported(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("there is no /dev/full")
	}
	w, err := Open(t.TempDir(), sampleMeta)
	require.NoError(t, err)
	r := bounce()
	w.open[scriptKey(r.Script)] = newScenarioLog(full, r.Script, sampleMeta)
	assert.ErrorContains(t, w.Flush(), "no space left")
	assert.ErrorContains(t, w.Add(r), "no space left")
	_, err = w.Close(false)
	require.NoError(t, err)
}

// Whoever may read the folder may read its files.
func TestFilesAreReadableByOthers(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, write(dir, []*harness.Result{bounce()}, sampleMeta))
	for name := range files(t, dir) {
		info, err := os.Stat(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.NotZero(t, info.Mode()&0o044, "%s can be read by its owner only", name)
	}
}
