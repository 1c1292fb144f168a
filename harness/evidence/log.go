package evidence

import (
	"bufio"
	"encoding/json"
	"errors"
	"os"
	"strconv"
	"sync"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// The log of a run, run.log, holds all that is known of it, and every other file of the folder is made from it. It is
// UTF-8 text, one entry a line, only ever appended to, so that a log which was cut off is read up to its last whole
// line. A line that begins with a brace is a JSON object with one key, which names the entry:
//
//	{"run":{...}}       the first line: format, version and with what the run was made
//	{"scenario":{...}}  a scenario begins
//	{"signals":[...]}   its signals, numbered from 0
//	{"end":NS}          its run has ended at so many nanoseconds
//	{"result":{...}}    what it came to, as in run.json
//	{"complete":true}   the last line of a run that was not broken off
//
// Every other line is a change of a signal of the scenario above, "TIME ID VALUE": nanoseconds since the run began, the
// number of the signal, and the value in the SI unit. TIME is left out, and the line begins with a space, where it is
// that of the line before. Changes stand in the order in which they happened.
//
// While a run is under way its first line and each of its scenarios have a file of their own, in the folder partial;
// they are put together in the order of the feature files when it ends, or by Export if it was killed.
const (
	LogFormat  = "ullage log"
	LogVersion = 1
)

// entry is a line of the log that is JSON; one of its fields is set.
type entry struct {
	Run      *runEntry      `json:"run,omitempty"`
	Scenario *scenarioEntry `json:"scenario,omitempty"`
	Signals  *[]signalEntry `json:"signals,omitempty"`
	End      *signal.Time   `json:"end,omitempty"`
	Result   *Record        `json:"result,omitempty"`
	Complete bool           `json:"complete,omitempty"`
}

// runEntry is the head of a log.
type runEntry struct {
	Format     string              `json:"format"`
	Version    int                 `json:"version"`
	Controller string              `json:"controller"`
	Seed       uint64              `json:"seed,string"`
	Worksheet  *Worksheet          `json:"worksheet,omitempty"`
	Assumed    map[string][]string `json:"assumed,omitempty"`
}

// scenarioEntry is a scenario of which nothing has happened yet. Its record is that of a run which breaks off here; the
// windows of its actions count from their start, which the event of the same place in Marks tells.
type scenarioEntry struct {
	Record Record   `json:"record"`
	Marks  []string `json:"marks"` // names of signals
}

// signalEntry declares a signal.
type signalEntry struct {
	Device    string `json:"device"`
	Quantity  string `json:"quantity"`
	Dimension string `json:"dimension"` // its name
	Unit      string `json:"unit"`      // of its values
	Shape     string `json:"shape"`     // held, linear or event
}

// line is an entry as it stands in the log.
func line(e entry) ([]byte, error) {
	text, err := json.Marshal(e)
	return append(text, '\n'), err
}

// scenarioLog writes the log of one scenario while it runs: a sink of its trace. What goes wrong is kept until the end.
type scenarioLog struct {
	mutex sync.Mutex // guards the rest: flush comes from elsewhere
	file  *os.File
	out   *bufio.Writer
	now   signal.Time // of the last change
	text  []byte      // of the line that is written
	err   error
}

// logBuffer is how much of the log of a scenario waits in memory, and is lost when the program is killed, between two
// calls of Flush.
const logBuffer = 1 << 16

func newScenarioLog(file *os.File, script *harness.Script, meta Meta) *scenarioLog {
	l := &scenarioLog{file: file, out: bufio.NewWriterSize(file, logBuffer), now: -1}
	begun := scenarioEntry{Record: unfinished(script, meta)}
	for _, a := range script.Acts {
		begun.Marks = append(begun.Marks, signal.Script.Mark(a.Mark).Name())
	}
	l.write(entry{Scenario: &begun})
	return l
}

// Begin writes the signals of the run, before its first change.
func (l *scenarioLog) Begin(signals []signal.Signal) {
	list := []signalEntry{}
	for _, s := range signals {
		list = append(
			list,
			signalEntry{s.Device, s.Quantity, quantity.Name(s.Dim), quantity.Unit(s.Dim), s.Shape.String()},
		)
	}
	l.write(entry{Signals: &list})
}

// Put writes one change.
func (l *scenarioLog) Put(c signal.Change) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.text = l.text[:0]
	if c.At != l.now {
		l.text = strconv.AppendInt(l.text, int64(c.At), 10)
		l.now = c.At
	}
	l.text = append(l.text, ' ')
	l.text = strconv.AppendInt(l.text, int64(c.ID), 10)
	l.text = append(l.text, ' ')
	l.text = strconv.AppendFloat(l.text, c.Value, 'g', -1, 64)
	l.text = append(l.text, '\n')
	if l.err == nil {
		_, l.err = l.out.Write(l.text)
	}
}

// Close notes where the run has ended.
func (l *scenarioLog) Close(end signal.Time) { l.write(entry{End: &end}) }

func (l *scenarioLog) write(e entry) {
	text, err := line(e)
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.err == nil && err == nil {
		_, err = l.out.Write(text)
	}
	l.err = errors.Join(l.err, err)
}

// flush hands to the operating system what waits in memory.
func (l *scenarioLog) flush() error {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.err == nil {
		l.err = l.out.Flush()
	}
	return l.err
}

// finish writes what the scenario came to and closes the file.
func (l *scenarioLog) finish(r *Record) error {
	if r != nil {
		l.write(entry{Result: r})
	}
	return errors.Join(l.flush(), l.file.Close())
}
