package evidence

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"os"
	"runtime"
	"sync"
)

// Export makes every file of an evidence folder from its log again: of a run that was killed, for which that was never
// done, or in the form of this program. It returns what run.json then holds.
func Export(dir string) (_ *Summary, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	if len(entries) == 0 { // and stays so
		return nil, nothingRecorded(dir)
	}
	f, err := claim(dir)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, f.close()) }()
	return f.export(false)
}

// export makes the files from the log, which it puts together first where a run has left it in parts; complete says
// whether that run is complete.
func (f *folder) export(complete bool) (*Summary, error) {
	log, err := openLog(f.Root)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nothingRecorded(f.Name())
	}
	if err != nil {
		return nil, err
	}
	defer log.close()
	if log.parts {
		log.complete = complete
		if err := f.write(LogFile, log.join); err != nil {
			return nil, err
		}
	}
	if err := f.RemoveAll(PartialName); err != nil {
		return nil, err
	}
	s := log.summary()
	var trace error
	var group sync.WaitGroup
	group.Go(func() { trace = f.write(TraceFile, log.writeTraces) })
	details, err := log.details()
	group.Wait()
	if err == nil { // both meet the same damage
		err = trace
	}
	if err != nil {
		return nil, err
	}
	sheet := log.run.Worksheet
	steps := []struct {
		name  string
		write func(io.Writer) error
	}{
		{JUnitFile, func(out io.Writer) error { return JUnit(out, s) }},
		{ReportFile, func(out io.Writer) error { return report(out, s, details, sheet) }},
		{WorksheetFile, func(out io.Writer) error { return sheet.html(out, s) }},
		{WorksheetCSVFile, func(out io.Writer) error { return sheet.csv(out, s) }},
		{RunFile, func(out io.Writer) error { return encode(out, s) }}, // last: it says that the rest is there
	}
	for _, step := range steps {
		if sheet == nil && (step.name == WorksheetFile || step.name == WorksheetCSVFile) {
			continue
		}
		if err := f.write(step.name, step.write); err != nil {
			return nil, err
		}
	}
	return s, nil
}

func nothingRecorded(dir string) error {
	return fmt.Errorf(
		"%s holds no %s and no %s: the run was broken off before its first scenario, or this is no evidence folder",
		dir,
		RunFile,
		LogFile,
	)
}

// join writes the log of a whole run from its parts.
func (l *recording) join(out io.Writer) error {
	head, err := line(entry{Run: &l.run})
	if err != nil {
		return err
	}
	if _, err := out.Write(head); err != nil {
		return err
	}
	for i := range l.scenarios {
		if _, err := io.Copy(out, l.scenarios[i].lines()); err != nil {
			return err
		}
	}
	if !l.complete {
		return nil
	}
	end, err := line(entry{Complete: true})
	if err == nil {
		_, err = out.Write(end)
	}
	return err
}

// summary is what run.json says of a log.
func (l *recording) summary() *Summary {
	var records []Record
	for _, s := range l.scenarios {
		records = append(records, s.Record)
	}
	s := summary(records, Meta{Controller: l.run.Controller, Seed: l.run.Seed, Assumed: l.run.Assumed})
	s.Complete = l.complete
	return s
}

// details renders the places of all scenarios in the report, on every processor: the pictures are most of the work. One
// trace for each processor is in memory at a time.
func (l *recording) details() ([]template.HTML, error) {
	list := make([]template.HTML, len(l.scenarios))
	failures := make([]error, len(l.scenarios))
	var group sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := range next {
				list[i], failures[i] = l.scenarios[i].detail()
			}
		})
	}
	for i := range l.scenarios {
		next <- i
	}
	close(next)
	group.Wait()
	return list, errors.Join(failures...)
}

// detail renders the place of one scenario in the report.
func (r *recorded) detail() (template.HTML, error) {
	trace, err := r.read()
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	err = reportTemplate.ExecuteTemplate(&b, "scenario", struct {
		*Record
		Picture template.HTML
	}{&r.Record, template.HTML(drawPictures(&r.Record, trace))})
	return template.HTML(b.String()), err
}
