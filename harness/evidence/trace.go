package evidence

import (
	"bufio"
	"io"
	"strconv"
	"strings"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// TraceHeader is the first line of trace.csv. The scenario is "file:line" as in run.json, the time is in seconds since
// the run began, the value is in the unit beside it; events stand with their own figure.
const TraceHeader = "scenario,time_s,signal,value,unit\n"

// WriteTrace writes every change of a trace as lines of CSV without a header, in the order of time and, within one
// moment, of the declaration of the signals.
func WriteTrace(w io.Writer, scenario string, trace *signal.Trace) error {
	out := bufio.NewWriterSize(w, 1<<16)
	before := csvField(scenario) + ","
	signals := trace.Signals()
	between, after := make([]string, len(signals)), make([]string, len(signals))
	merge := make(merge, 0, len(signals))
	for i, s := range signals {
		between[i] = "," + csvField(s.Name()) + ","
		after[i] = "," + csvField(quantity.Unit(s.Dim)) + "\n"
		if c := trace.Column(signal.ID(i)); len(c.At) > 0 {
			merge = append(merge, reader{id: signal.ID(i), at: c.At[0], column: c})
		}
	}
	merge.order()
	line := make([]byte, 0, 256)
	for len(merge) > 0 {
		r := &merge[0]
		line = append(line[:0], before...)
		line = appendSeconds(line, r.at)
		line = append(line, between[r.id]...)
		line = strconv.AppendFloat(line, r.column.Value[r.next], 'g', -1, 64)
		line = append(line, after[r.id]...)
		if _, err := out.Write(line); err != nil {
			return err
		}
		merge.advance()
	}
	return out.Flush()
}

// reader stands at the next change of one signal.
type reader struct {
	at     signal.Time
	id     signal.ID
	next   int
	column signal.Column
}

func (r *reader) before(o *reader) bool { return r.at < o.at || r.at == o.at && r.id < o.id }

// merge is a heap of readers, the earliest first.
type merge []reader

func (m merge) order() {
	for i := len(m)/2 - 1; i >= 0; i-- {
		m.sink(i)
	}
}

// advance moves the first reader on, or takes it out at its end.
func (m *merge) advance() {
	h := *m
	r := &h[0]
	if r.next++; r.next < len(r.column.At) {
		r.at = r.column.At[r.next]
	} else {
		h[0] = h[len(h)-1]
		*m = h[:len(h)-1]
	}
	m.sink(0)
}

func (m merge) sink(i int) {
	for {
		least := i
		for child := 2*i + 1; child <= 2*i+2 && child < len(m); child++ {
			if m[child].before(&m[least]) {
				least = child
			}
		}
		if least == i {
			return
		}
		m[i], m[least] = m[least], m[i]
		i = least
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

// csvField quotes a field where RFC 4180 asks for it.
func csvField(s string) string {
	if !strings.ContainsAny(s, ",\"\r\n") {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}
