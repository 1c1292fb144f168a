package harness

import (
	"math"
	"slices"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// InputsDiffer tells whether the controller met anything else in a run than in its twin without a fault, at a terminal,
// from the network or from inside, or did anything else.
func InputsDiffer(a, b *Run) bool {
	names := []string{signal.Controller.Received().Name(), signal.Controller.InternalFault().Name()}
	for _, s := range a.Trace.Signals() {
		if s.AtTerminal() {
			names = append(names, s.Name())
		}
	}
	return signalsDiffer(a, b, names, columnsDiffer)
}

// Touched lists the devices at which two runs of one script differ while outcomes were observed, in the order in which
// their signals were declared: of a run and its twin without a fault, what the fault reached. The marks of the script
// are left out.
func Touched(run, twin *Run) []string {
	var devices []string
	for _, s := range run.Trace.Signals() {
		if !slices.Contains(devices, s.Device) && signalsDiffer(run, twin, []string{s.Name()}, columnsDiffer) {
			devices = append(devices, s.Device)
		}
	}
	return devices
}

// differ compares the records that two runs have of a signal, from the beginning of the observation on.
type differ func(a, b *Run, x, y signal.ID) bool

// signalsDiffer tells whether one of the signals differs between two runs while outcomes were observed. The marks of
// the script are left out.
func signalsDiffer(a, b *Run, names []string, differs differ) bool {
	for _, name := range names {
		x, inA := a.Trace.Find(name)
		y, inB := b.Trace.Find(name)
		if inA && a.Trace.Signals()[x].Device == string(signal.Script) {
			continue
		}
		if inA != inB || inA && differs(a, b, x, y) {
			return true
		}
	}
	return false
}

// sameMoment is the span within which two runs' changes count as one: a simulated site that had to begin a step
// elsewhere may reach a level so much sooner or later.
const sameMoment = 100 * signal.Millisecond

// same is the share of what a linear signal reaches by which it may differ between two runs of the same course: flows
// and pressures are kept straighter than they are while a valve strokes, levels, volumes and moisture are exact.
func same(dim quantity.Dimension) float64 {
	if dim == quantity.Flow || dim == quantity.Pressure {
		return 1e-2
	}
	return 1e-4
}

// columnsDiffer is the differ of closed-loop twins. Held signals and events differ when there is another change, or one
// at another moment; linear ones when they are further apart than the same course can be.
func columnsDiffer(a, b *Run, x, y signal.ID) bool {
	if a.Trace.Signals()[x].Shape == signal.Linear {
		return linearDiffer(a, b, x, y)
	}
	p, q := a.Trace.Column(x), b.Trace.Column(y)
	held := a.Trace.Signals()[x].Shape == signal.Held
	if held && a.Trace.At(x, a.Begins) != b.Trace.At(y, a.Begins) && len(p.At)+len(q.At) > 0 {
		return true
	}
	p, q = after(p, a.Begins), after(q, a.Begins)
	if len(p.At) != len(q.At) {
		return true
	}
	for i := range p.At {
		if apart := p.At[i] - q.At[i]; apart > sameMoment || apart < -sameMoment || p.Value[i] != q.Value[i] {
			return true
		}
	}
	return false
}

// linearDiffer tells whether two linear signals are further apart than the same course can be.
func linearDiffer(a, b *Run, x, y signal.ID) bool {
	near := nearness(a, x)
	for _, column := range []signal.Column{after(a.Trace.Column(x), a.Begins), after(b.Trace.Column(y), a.Begins)} {
		for _, at := range column.At {
			if d := a.Trace.At(x, at) - b.Trace.At(y, at); !(math.Abs(d) <= near) { // also when only one was recorded
				return true
			}
		}
	}
	return false
}

// nearness is how far a linear signal may be from another of the same course.
func nearness(a *Run, x signal.ID) float64 {
	reach := 0.0
	for _, v := range a.Trace.Column(x).Value {
		reach = math.Max(reach, math.Abs(v))
	}
	return same(a.Trace.Signals()[x].Dim) * reach
}

// within is the differ of open-loop twins: times are compared with a tolerance from a moment on, and edges are not
// counted. Held and linear signals differ where they have different values for longer than the tolerance at a stretch,
// and where one takes a value that the other has at no time within the tolerance; events where one has none of its
// value in the other within the tolerance.
func within(tolerance, from signal.Time) differ {
	return func(a, b *Run, x, y signal.ID) bool {
		p, q := after(a.Trace.Column(x), from), after(b.Trace.Column(y), from)
		switch a.Trace.Signals()[x].Shape {
		case signal.Event:
			return lone(p, q, tolerance) || lone(q, p, tolerance)
		case signal.Held:
			if apart(a, b, x, y, from, 0, tolerance) {
				return true
			}
			whole, other := a.Trace.Column(x), b.Trace.Column(y)
			return strange(p, other, tolerance) || strange(q, whole, tolerance)
		}
		near := nearness(a, x)
		return apart(a, b, x, y, from, near, tolerance) ||
			outside(p, b, y, near, tolerance) || outside(q, a, x, near, tolerance)
	}
}

// apart tells whether two signals are further apart than they may for longer than a time at a stretch.
func apart(a, b *Run, x, y signal.ID, from signal.Time, near float64, longer signal.Time) bool {
	p, q := a.Trace.Column(x), b.Trace.Column(y)
	if len(p.At)+len(q.At) == 0 {
		return false
	}
	moments := []signal.Time{from}
	for _, column := range []signal.Column{after(p, from), after(q, from)} {
		moments = append(moments, column.At...)
	}
	moments = append(moments, a.End)
	slices.Sort(moments)
	since := signal.Never
	for _, at := range moments {
		if since != signal.Never && at-since > longer {
			return true
		}
		if d := a.Trace.At(x, at) - b.Trace.At(y, at); math.Abs(d) <= near { // not when only one was recorded
			since = signal.Never
		} else {
			since = min(since, at)
		}
	}
	return false
}

// strange tells whether a held record takes a value that the other has at no time within a tolerance.
func strange(p, other signal.Column, tolerance signal.Time) bool {
	first := 0 // of the other's changes, the last one at or before the span
	for i, at := range p.At {
		for first+1 < len(other.At) && other.At[first+1] <= at-tolerance {
			first++
		}
		found := false
		for k := first; k < len(other.At) && other.At[k] <= at+tolerance && !found; k++ {
			found = other.Value[k] == p.Value[i]
		}
		if !found {
			return true
		}
	}
	return false
}

// outside tells whether a linear record takes a value that another signal does not come near within a tolerance.
func outside(p signal.Column, other *Run, y signal.ID, near float64, tolerance signal.Time) bool {
	q, first := other.Trace.Column(y), 0
	for i, at := range p.At {
		from, to := at-tolerance, at+tolerance
		least, most := other.Trace.At(y, from), other.Trace.At(y, from)
		take := func(v float64) { least, most = math.Min(least, v), math.Max(most, v) }
		take(other.Trace.At(y, to))
		for first < len(q.At) && q.At[first] < from {
			first++
		}
		for k := first; k < len(q.At) && q.At[k] <= to; k++ {
			take(q.Value[k])
		}
		if !(p.Value[i] >= least-near && p.Value[i] <= most+near) { // also when only one was recorded
			return true
		}
	}
	return false
}

// lone tells whether an event of one record has none of its value in the other within a tolerance.
func lone(p, q signal.Column, tolerance signal.Time) bool {
	j := 0
	for i, at := range p.At {
		for j < len(q.At) && q.At[j] < at-tolerance {
			j++
		}
		found := false
		for k := j; k < len(q.At) && q.At[k] <= at+tolerance && !found; k++ {
			found = q.Value[k] == p.Value[i]
		}
		if !found {
			return true
		}
	}
	return false
}

// after is the part of a record that comes after a moment.
func after(c signal.Column, at signal.Time) signal.Column {
	i := 0
	for i < len(c.At) && c.At[i] <= at {
		i++
	}
	return signal.Column{At: c.At[i:], Value: c.Value[i:]}
}
