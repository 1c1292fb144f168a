package scenarios

import (
	"fmt"
	"slices"
	"sync"

	"ullage/features"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// Kind is what a step does in a scenario.
type Kind uint8

// The kinds of step, in the order in which a scenario has them.
const (
	Given Kind = 1 << iota // what was there before
	When                   // a fault or stimulus, and time that passes
	Then                   // what must hold
)

// String is the keyword of the kind.
func (k Kind) String() string {
	switch k {
	case Given:
		return "Given"
	case When:
		return "When"
	case Then:
		return "Then"
	case Given | When:
		return "Given or When"
	}
	return "?"
}

// Phrase is one sentence that a step may consist of.
type Phrase struct {
	Kind    Kind
	Pattern string // placeholders in braces, letters that may be missing in parentheses, is/are for one of two words
	Meaning string
	Example string // a step of a shipped site
	// Formerly are patterns that the phrase had before, with the same placeholders: they are refused with the present wording.
	Formerly []string
	Timed    bool // may begin with "as <event>, ", "<duration> after <event>, " or the like

	figures   map[string]quantity.Dimension // placeholders of the phrase's own at which a figure stands
	sentences []sentence                    // of the catalogue of faults that the phrase stands for
	pattern   *pattern
	compile   func(*compiler, args)
}

// Text is the phrase as it is printed: what stands in angle brackets is to be filled in, what stands in square brackets
// may be left out.
func (p Phrase) Text() string {
	if p.Timed {
		return "[<when>, ][<how>, ]" + p.pattern.shows
	}
	return p.pattern.shows
}

// Phrases lists every phrase, topic by topic. Examples of faults are those of the catalogue on the shipped sites.
func Phrases() []Phrase {
	phrases := slices.Clone(language().phrases)
	for i, p := range phrases {
		if p.sentences != nil {
			phrases[i].Example = p.sentences[0].entry.Example(p.sentences[0].phrase, ShippedSites())
		}
	}
	return phrases
}

// ShippedSites reads the sites that are shipped, once, in the order of their names. They are not to be changed.
var ShippedSites = sync.OnceValue(func() []*sitefile.Site {
	l, err := Open(features.Files)
	if err != nil {
		panic(fmt.Sprintf("scenarios: the shipped files: %v", err))
	}
	var sites []*sitefile.Site
	for _, name := range l.Sites() {
		site, err := l.Site(name)
		if err != nil {
			panic(fmt.Sprintf("scenarios: the shipped site %s: %v", name, err))
		}
		sites = append(sites, site)
	}
	return sites
})

// vocabulary is every phrase, event and timing with its pattern made.
type vocabulary struct {
	phrases []Phrase
	events  []Event
	timings []timing
	manners []manner
	former  []former
}

// language makes the vocabulary once. A pattern that cannot be made is a mistake of the program and panics.
var language = sync.OnceValue(func() *vocabulary {
	v := &vocabulary{events: slices.Clone(declaredEvents), timings: slices.Clone(declaredTimings),
		manners: slices.Clone(declaredManners)}
	v.phrases = slices.Concat(
		sitePhrases, settingPhrases(), timePhrases, faultPhrases(),
		waterPhrases, levelOutcomes, flowOutcomes, pipeworkOutcomes,
		valveOutcomes, surgeOutcomes, pumpOutcomes, backflowOutcomes,
		soilPhrases, networkPhrases, connectionPhrases, alertOutcomes, powerPhrases,
	)
	for i, p := range v.phrases {
		v.phrases[i].pattern = newPattern(p.Pattern, p.Timed, p.figures)
		for _, old := range p.Formerly {
			v.former = append(v.former, formerOf(v.phrases[i], old))
		}
	}
	for i, e := range v.events {
		v.events[i].clause, v.events[i].of = newPattern(e.Clause, false, nil), newPattern(e.Of, false, nil)
	}
	for i, m := range v.manners {
		v.manners[i].pattern = newPattern(m.text, false, nil)
	}
	for i, t := range v.timings {
		v.timings[i].pattern = newPattern(t.text, false, nil)
	}
	return v
})
