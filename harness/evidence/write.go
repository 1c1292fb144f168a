package evidence

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"ullage/harness"
)

// The files of an evidence folder.
const (
	RunFile     = "run.json"
	TraceFile   = "trace.csv"
	JUnitFile   = "junit.xml"
	ReportFile  = "report.html"
	PartialName = "partial" // folder of what an unfinished run has recorded
)

// Writer writes the evidence of one run. Its methods may be called concurrently, Close once, after every Add.
type Writer struct {
	dir   string
	meta  Meta
	mutex sync.Mutex // guards parts and next
	parts []part
	next  int
}

// part is what is kept of a result that was added; its trace waits in a file.
type part struct {
	record Record
	trace  string // file in partial/
	detail []byte // its place in the report
}

// Write writes all evidence of a run into a folder.
func Write(dir string, results []*harness.Result, meta Meta) error {
	w, err := Open(dir, meta)
	if err != nil {
		return err
	}
	for _, r := range results {
		if err := w.Add(r); err != nil {
			return err
		}
	}
	_, err = w.Close()
	return err
}

// Open makes the folder for a run, or empties one that an earlier run of ours has left. Any other folder that holds
// something is refused and left as it is.
func Open(dir string, meta Meta) (*Writer, error) {
	if err := claim(dir); err != nil {
		return nil, err
	}
	for _, name := range []string{TraceFile, JUnitFile, ReportFile, WorksheetFile, WorksheetCSVFile, PartialName} {
		if err := os.RemoveAll(filepath.Join(dir, name)); err != nil {
			return nil, err
		}
	}
	if err := os.MkdirAll(filepath.Join(dir, PartialName), 0o777); err != nil {
		return nil, err
	}
	w := &Writer{dir: dir, meta: meta}
	begun := summary(nil, meta)
	begun.Complete = false
	return w, w.writeJSON(RunFile, begun)
}

// claim makes sure that a folder is there and may be written into.
func claim(dir string) error {
	if dir == "" {
		return errors.New("the evidence folder has no name")
	}
	entries, err := os.ReadDir(dir)
	if errors.Is(err, os.ErrNotExist) {
		return os.MkdirAll(dir, 0o777)
	}
	if err != nil {
		return fmt.Errorf("evidence folder: %w", err)
	}
	if len(entries) == 0 {
		return nil
	}
	if _, err := readSummary(filepath.Join(dir, RunFile)); err != nil {
		return fmt.Errorf("%s is not empty and no evidence of an earlier run (%w): nothing was written; name a new folder, or empty this one", dir, err)
	}
	return nil
}

// Add renders one result and keeps it in partial/ until Close. The result is not needed afterwards.
func (w *Writer) Add(result *harness.Result) error {
	p := part{record: NewRecord(result, w.meta)}
	var err error
	if p.detail, err = renderDetail(&p.record, drawPictures(result)); err != nil {
		return err
	}
	w.mutex.Lock()
	w.next++
	name := filepath.Join(PartialName, fmt.Sprintf("%04d", w.next))
	w.mutex.Unlock()
	p.trace = name + ".csv"
	err = w.writeFile(p.trace, func(out io.Writer) error {
		if _, err := io.WriteString(out, TraceHeader); err != nil || result.Run == nil || result.Run.Trace == nil {
			return err
		}
		return WriteTrace(out, p.record.place(), result.Run.Trace)
	})
	if err != nil {
		return err
	}
	if err := w.writeJSON(name+".json", p.record); err != nil {
		return err
	}
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.parts = append(w.parts, p)
	return nil
}

// Close puts the evidence together, run.json last, takes partial/ away and returns what run.json holds.
func (w *Writer) Close() (*Summary, error) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	slices.SortStableFunc(w.parts, func(a, b part) int { return compareRecords(a.record, b.record) })
	var records []Record
	for _, p := range w.parts {
		records = append(records, p.record)
	}
	s := summary(records, w.meta)
	type step struct {
		name  string
		write func(io.Writer) error
	}
	steps := []step{
		{TraceFile, w.joinTraces},
		{JUnitFile, func(out io.Writer) error { return JUnit(out, s) }},
		{ReportFile, func(out io.Writer) error { return report(out, s, w.parts, w.meta.Worksheet) }},
	}
	if sheet := w.meta.Worksheet; sheet != nil {
		steps = append(steps, step{WorksheetFile, func(out io.Writer) error { return sheet.html(out, s) }},
			step{WorksheetCSVFile, func(out io.Writer) error { return sheet.csv(out, s) }})
	}
	for _, step := range steps {
		if err := w.writeFile(step.name, step.write); err != nil {
			return nil, err
		}
	}
	if err := w.writeJSON(RunFile, s); err != nil {
		return nil, err
	}
	return s, os.RemoveAll(filepath.Join(w.dir, PartialName))
}

// joinTraces writes the traces of all parts below one header.
func (w *Writer) joinTraces(out io.Writer) error {
	if _, err := io.WriteString(out, TraceHeader); err != nil {
		return err
	}
	for _, p := range w.parts {
		if err := w.copyTrace(out, p.trace); err != nil {
			return err
		}
	}
	return nil
}

func (w *Writer) copyTrace(out io.Writer, name string) error {
	in, err := os.Open(filepath.Join(w.dir, name))
	if err != nil {
		return err
	}
	defer in.Close()
	if _, err := in.Seek(int64(len(TraceHeader)), io.SeekStart); err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return err
}

func (w *Writer) writeJSON(name string, value any) error {
	return w.writeFile(name, func(out io.Writer) error { return encode(out, value) })
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

// writeFile writes a file beside its place and moves it there when it is whole.
func (w *Writer) writeFile(name string, write func(io.Writer) error) (err error) {
	path := filepath.Join(w.dir, name)
	file, err := os.Create(path + ".tmp")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(file.Name())
		}
	}()
	err = errors.Join(write(file), file.Close())
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return os.Rename(file.Name(), path)
}
