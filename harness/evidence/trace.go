package evidence

import (
	"bufio"
	"bytes"
	"io"
	"strconv"

	"ullage/harness/signal"
)

// TraceHeader is the first line of trace.csv. The scenario is "file:line" as in run.json, the time is in seconds since
// the run began, the value is in the unit beside it; events stand with their own figure.
const TraceHeader = "scenario,time_s,signal,value,unit\n"

// signalsKey begins the line that declares the signals of a scenario, and resultKey the one with what it came to, which
// scan has read.
var signalsKey, resultKey = []byte(`{"signals":`), []byte(`{"result":`)

// writeTraces writes trace.csv: every change of every scenario, in the order in which they happened.
func (l *recording) writeTraces(w io.Writer) error {
	out := bufio.NewWriterSize(w, 1<<18)
	if _, err := out.WriteString(TraceHeader); err != nil {
		return err
	}
	for i := range l.scenarios {
		if err := l.scenarios[i].writeTrace(out); err != nil {
			return err
		}
	}
	return out.Flush()
}

// writeTrace writes the changes of one scenario. Figures go from the log to CSV as they are written there.
func (r *recorded) writeTrace(out *bufio.Writer) error {
	in := newLineReader(r.name, r.lines())
	scenario := []byte(quoted(cell(r.place())) + ",")
	var between, after [][]byte // the time and the value, by signal
	var seconds, row []byte
	for {
		text, err := in.next()
		if err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
		if text[0] == '{' {
			if !bytes.HasPrefix(text, signalsKey) {
				continue
			}
			e, err := in.entry(text)
			if err != nil {
				return err
			}
			if e.Signals != nil {
				for _, s := range *e.Signals {
					name := signal.Signal{Device: s.Device, Quantity: s.Quantity}.Name()
					between = append(between, []byte(","+quoted(cell(name))+","))
					after = append(after, []byte(","+quoted(cell(s.Unit))+"\n"))
				}
			}
			continue
		}
		before := in.now
		c, err := in.change(text, len(between))
		if err != nil {
			return err
		}
		if c.At != before {
			seconds = appendSeconds(seconds[:0], c.At)
		}
		row = append(append(append(row[:0], scenario...), seconds...), between[c.ID]...)
		row = append(append(row, text[bytes.LastIndexByte(text, ' ')+1:len(text)-1]...), after[c.ID]...)
		if _, err := out.Write(row); err != nil {
			return err
		}
	}
}

// appendSeconds writes a moment as seconds with nine decimals: exactly, and of a form that every reader of CSV knows.
func appendSeconds(b []byte, t signal.Time) []byte {
	if t < 0 {
		b, t = append(b, '-'), -t
	}
	b = strconv.AppendInt(b, int64(t/signal.Second), 10)
	b = append(b, '.')
	part := int64(t % signal.Second)
	for digit := int64(signal.Second / 10); digit > 0; digit /= 10 {
		b = append(b, byte('0'+part/digit%10))
	}
	return b
}
