package harness

import (
	"fmt"
	"iter"
	"slices"

	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// pulses is how many more pulses without a call, within the time, would have raised the alarm.
func (a approach) pulses(f *sitefile.FlowAlarms) distance {
	s := signal.Terminal(f.Meter).Voltage()
	var counted []signal.Time // the latest pulses without a call
	most, at, low := 0, signal.Time(0), false
	for t, volts := range a.run.view(s).All() {
		was := low
		if low = volts < a.site.Controller.Board.Low.SI; !low || was || t < a.run.Begins || a.called(f, t) {
			continue
		}
		counted = append(counted, t)
		for counted[0] < t-signal.FromSeconds(f.Within.SI) {
			counted = counted[1:]
		}
		if len(counted) > most {
			most, at = len(counted), t
		}
	}
	return distance{most < f.Pulses, float64(f.Pulses - most), float64(f.Pulses), quantity.Count, at, s,
		fmt.Sprintf("pulses of %q without a call, short of the %d that are an alarm", f.Meter, f.Pulses)}
}

// gap is by how much the longest wait for a pulse while water was called for fell short of the alarm.
func (a approach) gap(f *sitefile.FlowAlarms) distance {
	s := signal.Terminal(f.Meter).Voltage()
	meter, longest, at := a.run.view(s), signal.Time(0), signal.Time(0)
	waits := func(from, until signal.Time) {
		if from = max(from, a.run.Begins); until-from > longest {
			longest, at = until-from, from
		}
	}
	for from, until := range a.calls(f.Counts) {
		for i := meter.Search(from); i < meter.Len() && meter.Time(i) <= until; i++ {
			if meter.Value(i) < a.site.Controller.Board.Low.SI {
				waits(from, meter.Time(i))
				from = meter.Time(i)
			}
		}
		waits(from, until)
	}
	limit := f.NoFlowAfter.SI
	margin := limit - longest.Seconds()
	return distance{margin > 0, margin, limit, quantity.Duration, at, s,
		fmt.Sprintf("a wait for a pulse of %q during a call short of the alarm, %s", f.Meter,
			quantity.Format(limit, quantity.Duration))}
}

// calls are the stretches during which one of some outputs is on.
func (a approach) calls(outputs []string) iter.Seq2[signal.Time, signal.Time] {
	return func(yield func(from, until signal.Time) bool) {
		var times []signal.Time
		for _, output := range outputs {
			for at := range a.run.on(output).All() {
				times = append(times, at)
			}
		}
		slices.Sort(times)
		since := signal.Never
		for _, at := range times {
			on := slices.ContainsFunc(outputs, func(output string) bool {
				view := a.run.on(output)
				return view.Len() > 0 && view.ValueAt(at) != 0
			})
			switch {
			case on:
				since = min(since, at)
			case since != signal.Never:
				if !yield(since, at) {
					return
				}
				since = signal.Never
			}
		}
		if since != signal.Never {
			yield(since, a.run.End)
		}
	}
}

// called reports whether one of the counted outputs is on at a moment, or went off so shortly before that the water is
// still settling.
func (a approach) called(f *sitefile.FlowAlarms, at signal.Time) bool {
	for _, output := range f.Counts {
		view := a.run.on(output)
		last := view.Search(at) - 1
		if last >= 0 && (view.Value(last) != 0 || last > 0 && at-view.Time(last) < signal.FromSeconds(f.Settles.SI)) {
			return true
		}
	}
	return false
}
