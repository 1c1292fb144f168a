package evidence

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/textfile"
)

// recording is what the log of a folder holds. Its files are open until close.
type recording struct {
	run       runEntry
	complete  bool
	parts     bool       // it is that of an unfinished run
	scenarios []recorded // in the order of the feature files
	files     []*os.File
}

// recorded is a scenario in a log: what it came to, and its lines.
type recorded struct {
	Record
	name   string // of the file, for messages
	file   io.ReaderAt
	offset int64
	length int64
	done   bool // it has a result
}

func (r *recorded) lines() io.Reader { return io.NewSectionReader(r.file, r.offset, r.length) }

func (l *recording) close() {
	for _, f := range l.files {
		_ = f.Close()
	}
}

// maxLine is how long a line of a log may be: the worksheet stands on one.
const maxLine = 1 << 24

// openLog reads run.log of a folder, or the parts of it that an unfinished run has left. The error is fs.ErrNotExist
// when there is neither.
func openLog(root *os.Root) (_ *recording, err error) {
	names := []string{LogFile}
	if _, err := root.Stat(LogFile); errors.Is(err, fs.ErrNotExist) {
		if names, err = fs.Glob(root.FS(), PartialName+"/*"+partSuffix); err != nil {
			return nil, err
		}
		if len(names) == 0 {
			return nil, fs.ErrNotExist
		}
	}
	l := &recording{parts: names[0] != LogFile}
	defer func() {
		if err != nil {
			l.close()
		}
	}()
	for _, name := range names {
		info, err := root.Stat(name)
		if link, _ := root.Lstat(name); err != nil && link != nil && link.Mode()&fs.ModeSymlink != 0 {
			err = &textfile.Error{Name: filepath.Join(root.Name(), name),
				Why: "it is a link that leads out of its folder; expected the file itself"}
		}
		if err == nil {
			err = textfile.Regular(filepath.Join(root.Name(), name), info)
		}
		if err != nil {
			return nil, err
		}
		file, err := root.Open(name)
		if err != nil {
			return nil, err
		}
		l.files = append(l.files, file)
		if err := l.scan(filepath.Join(root.Name(), name), file); err != nil {
			return nil, err
		}
	}
	if l.run.Format == "" {
		return nil, fmt.Errorf(
			"%s does not begin with what the run was made with",
			filepath.Join(root.Name(), names[0]),
		)
	}
	slices.SortStableFunc(l.scenarios, func(a, b recorded) int { return compareRecords(a.Record, b.Record) })
	return l, nil
}

// scan finds the scenarios of one file, and what they came to.
func (l *recording) scan(name string, file io.ReaderAt) error {
	in := newLineReader(name, io.NewSectionReader(file, 0, math.MaxInt64))
	var last *recorded
	upTo := func(offset int64) {
		if last != nil {
			last.length = offset - last.offset
		}
	}
	for {
		text, err := in.next()
		if err == io.EOF {
			break
		} else if err != nil {
			return err
		}
		if text[0] != '{' {
			continue
		}
		e, err := in.entry(text)
		begins := in.offset - int64(len(text))
		switch {
		case err != nil:
			return err
		case e.Run != nil:
			l.run = *e.Run
		case e.Scenario != nil:
			upTo(begins)
			l.scenarios = append(
				l.scenarios,
				recorded{Record: e.Scenario.Record, name: name, file: file, offset: begins},
			)
			last = &l.scenarios[len(l.scenarios)-1]
		case e.Result != nil && last != nil:
			last.Record, last.done = *e.Result, true
		case e.Complete:
			upTo(begins)
			last, l.complete = nil, true
		}
	}
	upTo(in.offset)
	for i := range l.scenarios {
		if r := &l.scenarios[i]; r.file == file && !r.done {
			if _, err := r.read(); err != nil {
				return err
			}
		}
	}
	return nil
}

// read reads the trace of a scenario, nil when nothing was run. Of one that was cut off it completes the record with
// what the trace tells.
func (r *recorded) read() (*signal.Trace, error) {
	in := newLineReader(r.name, r.lines())
	var trace *signal.Trace
	var begun *scenarioEntry
	ended := false
	for {
		text, err := in.next()
		if err == io.EOF {
			break
		} else if err != nil {
			return nil, err
		}
		if text[0] != '{' {
			if trace == nil || ended {
				return nil, in.mistake("a change outside of a run")
			}
			c, err := in.change(text, len(trace.Signals()))
			if err != nil {
				return nil, err
			}
			trace.Put(c)
			continue
		}
		if bytes.HasPrefix(text, resultKey) {
			continue
		}
		e, err := in.entry(text)
		switch {
		case err != nil:
			return nil, err
		case e.Scenario != nil:
			begun = e.Scenario
		case e.Signals != nil && trace == nil:
			if trace, err = declare(*e.Signals); err != nil {
				return nil, in.mistake(err.Error())
			}
		case e.End != nil && trace != nil && !ended && *e.End >= in.now:
			trace.Close(*e.End)
			ended = true
		default:
			return nil, in.mistake("an entry in the wrong place")
		}
	}
	if trace != nil && !ended {
		trace.Close(max(in.now, 0))
	}
	if trace != nil && !r.done && begun != nil {
		begun.complete(&r.Record, trace)
	}
	return trace, nil
}

// complete fills in what the trace of a scenario that was cut off tells of it.
func (s *scenarioEntry) complete(r *Record, trace *signal.Trace) {
	first := func(name string) *Moment {
		id, ok := trace.Find(name)
		if !ok || trace.View(id).Len() == 0 {
			return nil
		}
		return moment(trace.View(id).Time(0))
	}
	r.Begins, r.Ended = first(signal.Script.Begins().Name()), moment(trace.End())
	for i := range r.Actions {
		a := &r.Actions[i]
		if i < len(s.Marks) {
			a.Started = first(s.Marks[i])
		}
		if a.Windows = []Window{}; a.Started == nil {
			continue
		}
		for _, w := range s.Record.Actions[i].Windows {
			w.From = *moment(w.From.NS + a.Started.NS)
			if w.Until != nil {
				w.Until = moment(w.Until.NS + a.Started.NS)
			}
			a.Windows = append(a.Windows, w)
		}
	}
}

// declare makes the trace of these signals.
func declare(list []signalEntry) (*signal.Trace, error) {
	trace := signal.NewTrace()
	for _, e := range list {
		s := signal.Signal{Device: e.Device, Quantity: e.Quantity}
		var known bool
		if s.Dim, known = dimensions[e.Dimension]; !known {
			return nil, fmt.Errorf("unknown dimension %q", e.Dimension)
		}
		if s.Shape, known = shapes[e.Shape]; !known {
			return nil, fmt.Errorf("unknown shape %q", e.Shape)
		}
		if _, twice := trace.Find(s.Name()); twice {
			return nil, fmt.Errorf("the signal %q is there twice", s.Name())
		}
		trace.Declare(s)
	}
	return trace, nil
}

// dimensions and shapes are those of signals by their names.
var (
	dimensions = map[string]quantity.Dimension{}
	shapes     = map[string]signal.Shape{}
)

func init() {
	for d := quantity.None; d <= quantity.Capacitance; d++ {
		dimensions[quantity.Name(d)] = d
	}
	for s := signal.Held; s <= signal.Event; s++ {
		shapes[s.String()] = s
	}
}

// lineReader reads the lines of a log, and passes over a last one that was cut off.
type lineReader struct {
	in     *bufio.Reader
	name   string
	offset int64 // behind the line that was read last
	number int   // of that line
	long   []byte
	now    signal.Time // of the last change
}

func newLineReader(name string, in io.Reader) *lineReader {
	return &lineReader{in: bufio.NewReaderSize(in, 1<<16), name: name, now: -1}
}

// next is the next line with its end, valid until the next call; io.EOF when none is left.
func (r *lineReader) next() ([]byte, error) {
	text, err := r.in.ReadSlice('\n')
	if err == bufio.ErrBufferFull {
		r.long = append(r.long[:0], text...)
		for err == bufio.ErrBufferFull && len(r.long) < maxLine {
			text, err = r.in.ReadSlice('\n')
			r.long = append(r.long, text...)
		}
		text = r.long
	}
	r.number++
	switch {
	case err == bufio.ErrBufferFull:
		return nil, r.mistake(fmt.Sprintf("more than %d bytes", maxLine))
	case err != nil: // the end, or a line that was cut off
		return nil, err
	}
	r.offset += int64(len(text))
	return text, nil
}

func (r *lineReader) mistake(why string) error {
	return fmt.Errorf("%s:%d: %s: this is no log of a run that this program can read", r.name, r.number, why)
}

// entry reads a line that is JSON.
func (r *lineReader) entry(text []byte) (entry, error) {
	var e entry
	if err := decode(text, &e); err != nil {
		return e, r.mistake(err.Error())
	}
	if e.Run != nil && (e.Run.Format != LogFormat || e.Run.Version != LogVersion) {
		return e, r.mistake(
			fmt.Sprintf(
				"read format %q, version %d; expected %q, version %d",
				e.Run.Format,
				e.Run.Version,
				LogFormat,
				LogVersion,
			),
		)
	}
	return e, nil
}

// change reads a line that is a change of one of so many signals.
func (r *lineReader) change(text []byte, signals int) (signal.Change, error) {
	at, rest, _ := bytes.Cut(text[:len(text)-1], []byte{' '})
	id, value, _ := bytes.Cut(rest, []byte{' '})
	c := signal.Change{At: r.now}
	if len(at) > 0 {
		ns, err := strconv.ParseInt(string(at), 10, 64)
		if c.At = signal.Time(ns); err != nil || c.At < r.now {
			return c, r.mistake(fmt.Sprintf("read the time %q, which is none or runs backwards", at))
		}
		r.now = c.At
	}
	n, err := strconv.Atoi(string(id))
	if c.ID = signal.ID(n); err != nil || n < 0 || n >= signals || r.now < 0 {
		return c, r.mistake(fmt.Sprintf("read the signal %q; expected a number below %d", id, signals))
	}
	if c.Value, err = strconv.ParseFloat(string(value), 64); err != nil || math.IsNaN(c.Value) {
		return c, r.mistake(fmt.Sprintf("read %q; expected a number", value))
	}
	return c, nil
}
