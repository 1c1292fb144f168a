package language

import (
	"slices"

	"ullage/harness/quantity"
	"ullage/scenarios/internal/feature"
)

// Phrase is one sentence that a step may consist of.
type Phrase struct {
	Kind    feature.Kind
	Pattern string // placeholders in braces, letters that may be missing in parentheses, is/are for one of two words
	Meaning string
	Example string // a step of a shipped site
	// Formerly are patterns that the phrase had before, with the same placeholders: they are refused with the present wording.
	Formerly []string
	Timed    bool // may begin with "as <event>, ", "<duration> after <event>, " or the like

	Figures   map[string]quantity.Dimension // placeholders of the phrase's own at which a figure stands
	Sentences []Sentence                    // of the catalogue of faults that the phrase stands for
	Made      *pattern
	Compile   func(*Compiler, Args)
}

// Text is the phrase as it is printed: what stands in angle brackets is to be filled in, what stands in square brackets
// may be left out.
func (p Phrase) Text() string {
	if p.Timed {
		return "[<when>, ][<how>, ]" + p.Made.Shows
	}
	return p.Made.Shows
}

// Vocabulary is every phrase, event and timing with its pattern made.
type Vocabulary struct {
	Phrases []Phrase
	Events  []Event
	Timings []Timing
	Manners []Manner
	Former  []former
}

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
