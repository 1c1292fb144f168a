package outcome

import "ullage/harness/signal"

// Figured judges a property of the figures that a stand computes, a surge say, and takes care that nothing is called
// held where there is no figure. A property that held is NotRecorded when the missed event happened in the observation:
// something came to pass whose figure was not computed, and why tells what by the figure of that event. It is so too
// when no event of the figure happened at all.
func Figured(of Property, figure, missed signal.Signal, why func(figure float64) string) Property {
	return &figured{Property: of, figure: figure.Name(), missed: missed.Name(), why: why}
}

type figured struct {
	Property
	figure, missed string
	why            func(figure float64) string
}

// Signals lists those of the property, the figure and the missed event.
func (f *figured) Signals() []string {
	return appendNew(appendNew(f.Property.Signals(), f.figure), f.missed)
}

// Monitor begins observing.
func (f *figured) Monitor(from Event, signals Lookup) (Monitor, error) {
	of, err := f.Property.Monitor(from, signals)
	if err != nil {
		return nil, err
	}
	if from == (Event{}) {
		from = Event{Condition{Signal: signal.Script.Begins().Name(), Is: On}}
	}
	m := &figures{Monitor: of, of: f}
	start, err := find(from.Condition, signals)
	if err != nil {
		return nil, err
	}
	m.start = NewWatch(from, start.id, start.shape)
	for name, id := range map[string]*signal.ID{f.figure: &m.figure, f.missed: &m.missed} {
		s, err := find(Condition{Signal: name, Is: On}, signals)
		if err != nil {
			return nil, err
		}
		*id = s.id
	}
	return m, nil
}

// figures monitors Figured.
type figures struct {
	Monitor
	of             *figured
	start          Watch
	figure, missed signal.ID
	observing      bool
	found          bool           // there is a figure
	gap            *signal.Change // the first that is missed
}

func (m *figures) Put(c signal.Change) {
	m.Monitor.Put(c)
	m.observing = m.start.Put(c) || m.observing
	switch {
	case !m.observing:
	case c.ID == m.figure:
		m.found = true
	case c.ID == m.missed && m.gap == nil:
		m.gap = &c
	}
}

// Verdict takes back what held without its figures.
func (m *figures) Verdict() Verdict {
	v := m.Monitor.Verdict()
	switch {
	case v.State != Held:
		return v
	case m.gap != nil:
		return Verdict{State: NotRecorded, Dim: v.Dim, At: m.gap.At, Signal: m.of.missed,
			Why: sentence("%s was not computed of what happened at %v: %s", m.of.figure, m.gap.At,
				m.of.why(m.gap.Value))}
	case !m.found:
		return Verdict{State: NotRecorded, Dim: v.Dim, At: v.At, Signal: m.of.figure,
			Why: sentence("nothing happened in this run of which %s is computed", m.of.figure)}
	}
	return v
}
