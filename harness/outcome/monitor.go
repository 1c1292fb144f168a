package outcome

import (
	"math"

	"ullage/harness/signal"
)

// judge folds the steps of an observation into a verdict. It is given them in order of time.
type judge interface {
	// step tells what every condition did on the open span from since to at, and at the moment at. At the start of the
	// observation since equals at, and there is no span.
	step(since, at signal.Time, readings []reading)
	// verdict is asked once, after the last step.
	verdict(start, end signal.Time) Verdict
}

// early is a judge to which the time before the observation matters.
type early interface {
	before(at signal.Time, readings []reading)
}

// property is the one implementation of Property but All: conditions to look at, and the judge that folds them.
type property struct {
	conditions []Condition
	horizon    signal.Time
	edges      bool // the judge needs the moments at which linear signals cross their limits
	begin      func(subjects []subject) (judge, error)
}

// Signals lists the names that the property looks at, each once.
func (p *property) Signals() []string {
	var names []string
	for _, c := range p.conditions {
		names = appendNew(names, c.Signal)
	}
	return names
}

// Conditions is described at Property.
func (p *property) Conditions() []Condition { return p.conditions }

func appendNew(names []string, name string) []string {
	for _, n := range names {
		if n == name {
			return names
		}
	}
	return append(names, name)
}

// Horizon is described at Property.
func (p *property) Horizon() signal.Time { return p.horizon }

// Monitor begins observing. A signal that is not in the trace gives a *NotRecordedError.
func (p *property) Monitor(from Event, signals Lookup) (Monitor, error) {
	if from == (Event{}) {
		from = Event{Condition{Signal: signal.Script.Begins().Name(), Is: On}}
	}
	m := &monitor{readings: make([]reading, len(p.conditions)+1)}
	start, err := find(from.Condition, signals)
	if err != nil {
		return nil, err
	}
	m.look(start, true)
	var subjects []subject
	for _, c := range p.conditions {
		s, err := find(c, signals)
		if err != nil {
			return nil, err
		}
		subjects = append(subjects, s)
		m.look(s, p.edges)
	}
	m.judge, err = p.begin(subjects)
	return m, err
}

// look adds a course.
func (m *monitor) look(s subject, edges bool) {
	m.courses = append(m.courses, newCourse(s, edges))
	m.ids = append(m.ids, s.id)
}

// monitor brings the courses of several signals to common moments. A moment is judged when time has moved on, so that
// the order of changes of different signals within it does not matter, and when every linear signal that is looked at
// is known there; until then the others wait in their queues.
type monitor struct {
	courses  []course    // the first tells when the observation starts
	ids      []signal.ID // of their signals
	readings []reading
	judge    judge

	now       signal.Time // of the last change that was put
	put       bool
	start     signal.Time
	since     signal.Time // the last moment that was judged
	observing bool
	end       signal.Time
	verdict   Verdict
}

// first is the first course that still matters: once the observation has started, its event does not.
func (m *monitor) first() int {
	if m.observing {
		return 1
	}
	return 0
}

// Put takes one change; those of other signals are ignored.
func (m *monitor) Put(c signal.Change) {
	for i := m.first(); i < len(m.ids); i++ {
		if m.ids[i] != c.ID {
			continue
		}
		if m.put && c.At > m.now {
			m.settle(false)
		}
		m.now, m.put = c.At, true
		m.courses[i].put(c.At, c.Value)
	}
}

// settle judges every moment that is known.
func (m *monitor) settle(all bool) {
	for {
		at, found := signal.Never, false
		for i := m.first(); i < len(m.courses); i++ {
			if next, ok := m.courses[i].next(); ok && (!found || next < at) {
				at, found = next, true
			}
		}
		if !found {
			return
		}
		for i := m.first(); i < len(m.courses); i++ {
			if !all && !m.courses[i].reaches(at) {
				return
			}
		}
		m.step(at)
	}
}

func (m *monitor) step(at signal.Time) {
	for i := m.first(); i < len(m.courses); i++ {
		m.readings[i] = m.courses[i].step(at)
	}
	if !m.observing {
		if m.readings[0].turns == 0 {
			if j, is := m.judge.(early); is {
				j.before(at, m.readings[1:])
			}
			return
		}
		m.observing, m.start, m.since = true, at, at
	}
	m.judge.step(m.since, at, m.readings[1:])
	m.since = at
}

// Close judges what is left; the moment of the end belongs to the observation.
func (m *monitor) Close(end signal.Time) {
	for i := range m.courses {
		m.courses[i].close()
	}
	m.settle(true)
	m.end = max(end, m.now)
	if m.observing && m.since < m.end {
		m.step(m.end)
	}
	m.verdict = m.conclude()
	if math.IsInf(m.verdict.Margin, 0) {
		m.verdict.NoMargin, m.verdict.Margin, m.verdict.Allowance = true, 0, 0
	}
}

func (m *monitor) conclude() Verdict {
	if !m.observing {
		return Verdict{State: NotExercised, At: m.end, Signal: m.courses[0].Signal,
			Why: sentence("the run ended at %v without %s, from which on this is observed", m.end,
				m.courses[0].turning())}
	}
	for i := range m.courses[1:] {
		if c := &m.courses[i+1]; !c.begun && c.shape != signal.Event {
			return Verdict{State: NotRecorded, At: m.end, Signal: c.Signal,
				Why: sentence("%s is declared but had no value up to the end of the run at %v", c.Signal, m.end)}
		}
	}
	return m.judge.verdict(m.start, m.end)
}

// Verdict is described at Monitor.
func (m *monitor) Verdict() Verdict { return m.verdict }
