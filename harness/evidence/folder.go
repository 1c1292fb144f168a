package evidence

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"ullage/harness/lockfile"
	"ullage/harness/textfile"
)

// The files of an evidence folder.
const (
	RunFile        = "run.json"
	LogFile        = "run.log"
	TraceFile      = "trace.csv"
	JUnitFile      = "junit.xml"
	ReportFile     = "report.html"
	ProvenanceFile = "provenance.json"
	PartialName    = "partial"        // folder of the log of an unfinished run
	LockFile       = ".evidence.lock" // the first file of each folder; it marks the folder as one of ours
)

// exports are the files that are made from the log.
var exports = []string{RunFile, TraceFile, JUnitFile, ReportFile, WorksheetFile, WorksheetCSVFile}

// temporary ends the name of a file that is not whole yet.
const temporary = ".tmp"

// folder is an evidence folder that this process writes. Nothing that it opens, makes or removes lies outside: links
// that lead there are not followed.
type folder struct {
	*os.Root
	lock *lockfile.Lock
}

// claim makes a folder, or takes one that is empty or that an earlier run has left, for this process alone. Any other
// folder is refused and left as it is.
func claim(dir string) (*folder, error) {
	if dir == "" {
		return nil, errors.New("the evidence folder has no name")
	}
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		err = os.MkdirAll(dir, 0o777)
	case err == nil && len(entries) > 0 && !ours(dir):
		return nil, fmt.Errorf(
			"%s is not empty and no evidence of an earlier run: nothing was written; name a new folder, or empty this one",
			dir,
		)
	}
	if err != nil {
		return nil, fmt.Errorf("evidence folder: %w", err)
	}
	lock, err := lockfile.Take(filepath.Join(dir, LockFile))
	var held *lockfile.HeldError
	if errors.As(err, &held) {
		return nil, fmt.Errorf(
			"the evidence folder %s is %w; wait until that has ended, or name another folder",
			dir,
			held,
		)
	}
	if err != nil {
		return nil, fmt.Errorf("evidence folder: %w", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, errors.Join(err, lock.Release())
	}
	return &folder{root, lock}, nil
}

// ours reports whether a folder has been written by a run: it has the lock file, or the run.json of any version.
func ours(dir string) bool {
	if info, err := os.Lstat(filepath.Join(dir, LockFile)); err == nil && info.Mode().IsRegular() {
		return true
	}
	var mark struct{ Format string }
	text, err := textfile.Read(filepath.Join(dir, RunFile), textfile.Recorded)
	return err == nil && json.Unmarshal(text, &mark) == nil && mark.Format == Format
}

func (f *folder) close() error { return errors.Join(f.Close(), f.lock.Release()) }

// empty takes away what an earlier run has left, run.json first: without it no reader takes the rest for a whole run.
func (f *folder) empty() error {
	for _, name := range append(exports, LogFile, ProvenanceFile) {
		if err := errors.Join(f.RemoveAll(name), f.RemoveAll(name+temporary)); err != nil {
			return err
		}
	}
	return f.RemoveAll(PartialName)
}

// create makes a new file. Neither a file nor a link may stand in its place.
func (f *folder) create(name string) (*os.File, error) {
	return f.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
}

// write writes a file beside its place and moves it there when it is whole.
func (f *folder) write(name string, write func(io.Writer) error) (err error) {
	if err := f.RemoveAll(name + temporary); err != nil {
		return err
	}
	file, err := f.create(name + temporary)
	if err != nil {
		return err
	}
	if err = errors.Join(write(file), file.Close()); err == nil {
		err = f.Rename(name+temporary, name)
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, errors.Join(err, f.Remove(name+temporary)))
	}
	return nil
}

// encode writes JSON as it stands in evidence.
func encode(out io.Writer, value any) error {
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(value); err != nil {
		return err
	}
	_, err := out.Write(text.Bytes())
	return err
}
