package harness

import (
	"iter"
	"math"
	"slices"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Touched lists the devices at which two runs of one script differ while outcomes were observed, in the order in which
// their signals were declared: of a run and its twin without a fault, what the fault reached. The marks of the script
// are left out.
func Touched(run, twin *Run) []string {
	var devices []string
	for _, s := range run.Trace.Signals() {
		if !slices.Contains(devices, s.Device) && signalsDiffer(run, twin, []string{s.Name()}, closely(run.Begins)) {
			devices = append(devices, s.Device)
		}
	}
	return devices
}

// differ compares the records that two runs have of a signal, from the beginning of the observation on.
type differ func(a, b *Run, x, y signal.ID) bool

// signalsDiffer reports whether one of the signals differs between two runs while outcomes were observed. The marks of
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

// closely is the differ of closed-loop twins, from a moment on. Held signals and events differ when there is another
// change, or one at another moment; linear ones when they are further apart than the same course can be.
func closely(from signal.Time) differ {
	return func(a, b *Run, x, y signal.ID) bool { return firstDifference(a, b, x, y, from) != signal.Never }
}

// firstDifference is the first moment, from one on, at which two closed-loop twins differ in a signal; Never when they
// do not.
func firstDifference(a, b *Run, x, y signal.ID, from signal.Time) signal.Time {
	p, q := a.Trace.View(x), b.Trace.View(y)
	if a.Trace.Signals()[x].Shape == signal.Linear {
		near := nearness(a, x)
		differs := func(at signal.Time) bool { // also when only one was recorded
			return !(math.Abs(p.ValueAt(at)-q.ValueAt(at)) <= near)
		}
		if p.Len()+q.Len() > 0 && differs(from) {
			return from
		}
		for at := range moments(p.After(from), q.After(from)) {
			if differs(at) {
				return at
			}
		}
		return signal.Never
	}
	held := a.Trace.Signals()[x].Shape == signal.Held
	if held && p.Len()+q.Len() > 0 && p.ValueAt(from) != q.ValueAt(from) {
		return from
	}
	p, q = p.After(from), q.After(from)
	for i := range max(p.Len(), q.Len()) {
		switch {
		case i >= p.Len():
			return q.Time(i)
		case i >= q.Len():
			return p.Time(i)
		}
		if apart := p.Time(i) - q.Time(i); apart > sameMoment || apart < -sameMoment || p.Value(i) != q.Value(i) {
			return min(p.Time(i), q.Time(i))
		}
	}
	return signal.Never
}

// moments are those of the changes of two records, in order.
func moments(p, q *signal.View) iter.Seq[signal.Time] {
	return func(yield func(signal.Time) bool) {
		for i, j := 0, 0; i < p.Len() || j < q.Len(); {
			var at signal.Time
			if j == q.Len() || i < p.Len() && p.Time(i) <= q.Time(j) {
				at = p.Time(i)
				i++
			} else {
				at = q.Time(j)
				j++
			}
			if !yield(at) {
				return
			}
		}
	}
}

// nearness is how far a linear signal may be from another of the same course.
func nearness(a *Run, x signal.ID) float64 {
	reach := 0.0
	for _, v := range a.Trace.View(x).All() {
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
		whole, other := a.Trace.View(x), b.Trace.View(y)
		p, q := whole.After(from), other.After(from)
		switch a.Trace.Signals()[x].Shape {
		case signal.Event:
			return lone(p, q, tolerance) || lone(q, p, tolerance)
		case signal.Held:
			return apart(whole, other, from, a.End, 0, tolerance) || strange(p, other, tolerance) ||
				strange(q, whole, tolerance)
		}
		near := nearness(a, x)
		return apart(whole, other, from, a.End, near, tolerance) ||
			outside(p, other, near, tolerance) || outside(q, whole, near, tolerance)
	}
}

// apart reports whether two records are further apart between two moments than they may for longer than a time at a
// stretch.
func apart(p, q *signal.View, from, end signal.Time, near float64, longer signal.Time) bool {
	if p.Len()+q.Len() == 0 {
		return false
	}
	since := signal.Never
	tooLong := func(at signal.Time) bool {
		if since != signal.Never && at-since > longer {
			return true
		}
		if d := p.ValueAt(at) - q.ValueAt(at); math.Abs(d) <= near { // not when only one was recorded
			since = signal.Never
		} else {
			since = min(since, at)
		}
		return false
	}
	if tooLong(from) {
		return true
	}
	for at := range moments(p.After(from), q.After(from)) {
		if tooLong(at) {
			return true
		}
	}
	return tooLong(end)
}

// strange reports whether a held record takes a value that the other has at no time within a tolerance.
func strange(p, other *signal.View, tolerance signal.Time) bool {
	first := 0 // of the other's changes, the last one at or before the span
	for at, value := range p.All() {
		for first+1 < other.Len() && other.Time(first+1) <= at-tolerance {
			first++
		}
		if !takes(other, first, at+tolerance, value) {
			return true
		}
	}
	return false
}

// takes reports whether one of the changes from an index on, up to a moment, has a value.
func takes(v *signal.View, i int, until signal.Time, value float64) bool {
	for ; i < v.Len() && v.Time(i) <= until; i++ {
		if v.Value(i) == value {
			return true
		}
	}
	return false
}

// outside reports whether a linear record takes a value that another does not come near within a tolerance.
func outside(p, other *signal.View, near float64, tolerance signal.Time) bool {
	first := 0
	for at, value := range p.All() {
		from, to := at-tolerance, at+tolerance
		begin, end := other.ValueAt(from), other.ValueAt(to)
		least, most := math.Min(begin, end), math.Max(begin, end)
		for first < other.Len() && other.Time(first) < from {
			first++
		}
		for k := first; k < other.Len() && other.Time(k) <= to; k++ {
			least, most = math.Min(least, other.Value(k)), math.Max(most, other.Value(k))
		}
		if !(value >= least-near && value <= most+near) { // also when only one was recorded
			return true
		}
	}
	return false
}

// lone reports whether an event of one record has none of its value in the other within a tolerance.
func lone(p, q *signal.View, tolerance signal.Time) bool {
	first := 0
	for at, value := range p.All() {
		for first < q.Len() && q.Time(first) < at-tolerance {
			first++
		}
		if !takes(q, first, at+tolerance, value) {
			return true
		}
	}
	return false
}
