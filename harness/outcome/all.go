package outcome

import (
	"math"

	"ullage/harness/signal"
)

// All says that every part holds. Margins of different dimension are never folded into one: each part keeps its own, and
// the verdict is that of the part with the smallest share of its allowance left. A part that failed comes before one that
// was not recorded or not exercised, and that before one that held.
func All(parts ...Property) Property { return all(parts) }

type all []Property

// Signals lists the names that the parts look at, each once.
func (a all) Signals() []string {
	var names []string
	for _, p := range a {
		for _, n := range p.Signals() {
			names = appendNew(names, n)
		}
	}
	return names
}

// Horizon is the longest of the parts; 0 when one of them is watched to the end.
func (a all) Horizon() signal.Time {
	var h signal.Time
	for _, p := range a {
		part := p.Horizon()
		if part == 0 {
			return 0
		}
		h = max(h, part)
	}
	return h
}

// Monitor begins observing every part.
func (a all) Monitor(from Event, signals Lookup) (Monitor, error) {
	m := &Conjunction{}
	for _, p := range a {
		part, err := p.Monitor(from, signals)
		if err != nil {
			return nil, err
		}
		m.parts = append(m.parts, part)
	}
	return m, nil
}

// Conjunction is the monitor of All.
type Conjunction struct{ parts []Monitor }

// Put hands a change to every part.
func (m *Conjunction) Put(c signal.Change) {
	for _, p := range m.parts {
		p.Put(c)
	}
}

// Close ends every part.
func (m *Conjunction) Close(end signal.Time) {
	for _, p := range m.parts {
		p.Close(end)
	}
}

// Parts are the verdicts of the parts, in their order.
func (m *Conjunction) Parts() []Verdict {
	verdicts := make([]Verdict, len(m.parts))
	for i, p := range m.parts {
		verdicts[i] = p.Verdict()
	}
	return verdicts
}

// Verdict is the tightest part's; of no parts it is held, with nothing that could break it.
func (m *Conjunction) Verdict() Verdict {
	tightest := Verdict{Margin: math.Inf(1)}
	for i, v := range m.Parts() {
		if i == 0 || tighter(v, tightest) {
			tightest = v
		}
	}
	return tightest
}

// tighter tells whether v has to be told of before w.
func tighter(v, w Verdict) bool {
	if a, b := gravity(v.State), gravity(w.State); a != b {
		return a > b
	}
	a, ok := v.Share()
	b, other := w.Share()
	if !ok || math.IsInf(v.Margin, 1) {
		a = math.Inf(1)
	}
	if !other || math.IsInf(w.Margin, 1) {
		b = math.Inf(1)
	}
	return a < b
}

// gravity orders the states that a monitor can find.
func gravity(s State) int {
	return [...]int{Held: 0, NotExercised: 1, NotRecorded: 2, Failed: 3, NotRun: 4, NotValid: 5, Broken: 6}[s]
}
