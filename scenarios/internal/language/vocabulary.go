package language

import "slices"

// NewVocabulary makes the patterns of a language. One that cannot be made is a mistake of the program and panics.
func NewVocabulary(phrases []Phrase, events []Event, timings []Timing) *Vocabulary {
	v := &Vocabulary{Phrases: phrases, Events: events, Timings: timings, Manners: slices.Clone(declaredManners)}
	for i, p := range v.Phrases {
		v.Phrases[i].Made = NewPattern(p.Pattern, p.Timed, p.Figures)
		for _, old := range p.Formerly {
			v.Former = append(v.Former, FormerOf(v.Phrases[i], old))
		}
	}
	for i, e := range v.Events {
		v.Events[i].clause, v.Events[i].of = NewPattern(e.Clause, false, nil), NewPattern(e.Of, false, nil)
	}
	for i, m := range v.Manners {
		v.Manners[i].Pattern = NewPattern(m.text, false, nil)
	}
	for i, t := range v.Timings {
		v.Timings[i].Pattern = NewPattern(t.Text, false, nil)
	}
	return v
}
