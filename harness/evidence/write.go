package evidence

import (
	"errors"
	"fmt"
	"io"
	"sync"

	"ullage/harness"
	"ullage/harness/signal"
)

// partSuffix ends the names of the files in the folder partial.
const partSuffix = ".log"

// Writer writes the evidence of one run. Its methods may be called concurrently, Close once, after everything else.
type Writer struct {
	folder *folder
	meta   Meta
	mutex  sync.Mutex // guards the rest
	open   map[string]*scenarioLog
	parts  int
	reacts map[string]reaction // by site
}

// reaction is how the controller reacted on a site, in the first of the scenarios that ran there.
type reaction struct {
	scenario string
	seconds  map[string]float64
}

// Open makes the folder for a run, or empties one that an earlier run of ours has left, and holds it against other
// processes until Close. Any other folder that holds something is refused and left as it is.
func Open(dir string, meta Meta) (*Writer, error) {
	f, err := claim(dir)
	if err != nil {
		return nil, err
	}
	w := &Writer{folder: f, meta: meta, open: map[string]*scenarioLog{}, reacts: map[string]reaction{}}
	if err := w.begin(); err != nil {
		return nil, errors.Join(fmt.Errorf("evidence folder: %w", err), f.close())
	}
	return w, nil
}

// begin empties the folder and writes the head of the log.
func (w *Writer) begin() error {
	if err := w.folder.empty(); err != nil {
		return err
	}
	if err := w.writeProvenance(); err != nil {
		return err
	}
	if err := w.folder.Mkdir(PartialName, 0o777); err != nil {
		return err
	}
	head, err := line(entry{Run: w.meta.entry()})
	if err != nil {
		return err
	}
	return w.folder.write(w.part(), func(out io.Writer) error {
		_, err := out.Write(head)
		return err
	})
}

// writeProvenance writes it, if there is one, with what is known so far of how the controller reacts.
func (w *Writer) writeProvenance() error {
	if w.meta.Provenance == nil {
		return nil
	}
	p := *w.meta.Provenance
	p.Controller.Reacts = map[string]map[string]float64{}
	for site, r := range w.reacts {
		p.Controller.Reacts[site] = r.seconds
	}
	return w.folder.write(ProvenanceFile, func(out io.Writer) error { return encode(out, p) })
}

// part is a new name for a file of the log.
func (w *Writer) part() string {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.parts++
	return fmt.Sprintf("%s/%06d%s", PartialName, w.parts-1, partSuffix)
}

// entry is the head of the log.
func (m Meta) entry() *runEntry {
	return &runEntry{
		Format:     LogFormat,
		Version:    LogVersion,
		Controller: m.Controller,
		Seed:       m.Seed,
		Worksheet:  m.Worksheet,
		Assumed:    m.Assumed,
	}
}

// Watch begins the log of a scenario and returns the sink that writes it, to be given to the run: what happens is on
// disk at the latest after the next Flush. Add ends the log.
func (w *Writer) Watch(script *harness.Script) (signal.Sink, error) {
	l, err := w.log(script)
	if err != nil {
		return nil, err
	}
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.open[scriptKey(script)] = l
	return l, nil
}

// log begins the log of a scenario in a file of its own.
func (w *Writer) log(script *harness.Script) (*scenarioLog, error) {
	file, err := w.folder.create(w.part())
	if err != nil {
		return nil, err
	}
	return newScenarioLog(file, script, w.meta), nil
}

// scriptKey names a scenario within its run.
func scriptKey(s *harness.Script) string { return fmt.Sprintf("%s:%d %s", s.File, s.Line, s.Name) }

// Flush hands everything recorded so far to the operating system, so that it outlives this process. Who runs something
// that lasts calls it every second.
func (w *Writer) Flush() error {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	var err error
	for _, l := range w.open {
		err = errors.Join(err, l.flush())
	}
	return err
}

// Add records what a scenario came to. One that was not watched has no trace in the evidence. The result is not needed
// afterwards.
func (w *Writer) Add(result *harness.Result) error {
	w.mutex.Lock()
	l, watched := w.open[scriptKey(result.Script)]
	delete(w.open, scriptKey(result.Script))
	site := result.Script.Site
	if r, known := w.reacts[site]; result.Run != nil && (!known || scriptKey(result.Script) < r.scenario) {
		w.reacts[site] = reaction{scriptKey(result.Script), result.Run.Reacts.Seconds()}
	}
	w.mutex.Unlock()
	if !watched {
		var err error
		if l, err = w.log(result.Script); err != nil {
			return err
		}
	}
	record := NewRecord(result, w.meta)
	return l.finish(&record)
}

// Close puts the log together, makes every other file from it and gives the folder back. Complete says that the run was
// not broken off. What it returns is what run.json holds.
func (w *Writer) Close(complete bool) (_ *Summary, err error) {
	defer func() { err = errors.Join(err, w.folder.close()) }()
	for _, l := range w.open { // broken off
		if err := l.finish(nil); err != nil {
			return nil, err
		}
	}
	if err := w.writeProvenance(); err != nil {
		return nil, err
	}
	return w.folder.export(complete)
}
