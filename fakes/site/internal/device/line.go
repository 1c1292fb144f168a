package device

import (
	"math"

	"ullage/harness/signal"
)

// Line is one linear signal of a site. Within a step it runs straight from Start to End.
type Line struct {
	Read       func() float64 // its value in the last solve of the network
	Start, End float64        // at the two ends of the present step
	Reach      float64        // its largest size so far
	Tolerance  float64        // share of Reach by which it may miss the truth within a step

	record   signal.Recorder
	id       signal.ID
	last     float64     // the last point
	lastAt   signal.Time // its moment
	storedAt signal.Time // moment of the last point that is in the trace
	begun    bool
}

// Line declares a linear signal.
func (b *Bench) Line(s signal.Signal) Line { return Line{record: b.record, id: b.record.Declare(s)} }

// At is the value at a share of the present step.
func (l *Line) At(share float64) float64 {
	if share == 1 {
		return l.End
	}
	return l.Start + float64((l.End-l.Start)*share)
}

// Runs reports whether the value is anything but zero in the present step.
func (l *Line) Runs() bool { return l.Start != 0 || l.End != 0 }

// Jump lets the line jump to what the network gives at a moment.
func (l *Line) Jump(at signal.Time) {
	l.Start = l.Read()
	l.End = l.Start
	l.To(at, l.Start)
}

// Miss is the distance of what the network gives in the middle of the step from the straight line, as a multiple of
// what it may be.
func (l *Line) Miss() float64 {
	off := math.Abs(l.Read() - (l.Start+l.End)/2)
	if !(off > 0) {
		return 0
	}
	return off / (l.Tolerance * math.Max(l.Reach, math.Max(math.Abs(l.Start), math.Abs(l.End))))
}

// Cut ends the present step at a moment, which is a share of it.
func (l *Line) Cut(at signal.Time, share float64) {
	value := l.At(share)
	l.To(at, value)
	l.Start, l.End = value, value
}

// To records that the line has come straight to a point. A stretch at one level stores only its beginning, until Anchor
// says that it ends; two points at one moment are a jump.
func (l *Line) To(at signal.Time, value float64) {
	if l.begun && value == l.last {
		l.lastAt = at
		return
	}
	l.Anchor()
	l.record.Put(signal.Change{At: at, ID: l.id, Value: value})
	l.begun, l.last, l.lastAt, l.storedAt = true, value, at, at
	l.Reach = math.Max(l.Reach, math.Abs(value))
}

// Anchor stores the end of a stretch at one level, which is the present moment: from here on the line runs elsewhere.
func (l *Line) Anchor() {
	if l.begun && l.lastAt > l.storedAt {
		l.record.Put(signal.Change{At: l.lastAt, ID: l.id, Value: l.last})
		l.storedAt = l.lastAt
	}
}

// Total is the integral of a flow since the beginning of the run, m³.
type Total struct {
	Flow *Line
	Sum  float64 // at the start of the present step

	line Line
}

// Total declares the integral of a flow.
func (b *Bench) Total(s signal.Signal, flow *Line) *Total {
	t := &Total{Flow: flow, line: b.Line(s)}
	t.line.To(0, 0)
	return t
}

// At is the total at a share of a step of dt seconds: the exact integral of the straight line.
func (t *Total) At(share, dt float64) float64 {
	tau := share * dt
	return t.Sum + float64(t.Flow.Start*tau) + float64((t.Flow.End-t.Flow.Start)*share*tau)/2
}

// Cut ends the present step of dt seconds at a moment, which is a share of it.
func (t *Total) Cut(at signal.Time, share, dt float64) {
	t.Sum = t.At(share, dt)
	t.line.To(at, t.Sum)
}

// To records that nothing has been added until a moment.
func (t *Total) To(at signal.Time) { t.line.To(at, t.Sum) }

// Anchor marks the beginning of its line where it does not run level in the present step.
func (t *Total) Anchor() {
	if t.Flow.Runs() {
		t.line.Anchor()
	}
}
