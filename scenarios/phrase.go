package scenarios

import (
	"slices"
	"sync"
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
	Timed   bool   // may begin with "as <event>, ", "<duration> after <event>, " or the like

	pattern *pattern
	compile func(*compiler, args)
}

// Text is the phrase as it is printed: what stands in angle brackets is to be filled in, what stands in square brackets
// may be left out.
func (p Phrase) Text() string {
	if p.Timed {
		return "[<when>, ][<how>, ]" + p.pattern.shows
	}
	return p.pattern.shows
}

// Phrases lists every phrase, topic by topic.
func Phrases() []Phrase { return slices.Clone(language().phrases) }

// vocabulary is every phrase, event and timing with its pattern made.
type vocabulary struct {
	phrases []Phrase
	events  []Event
	timings []timing
	manners []manner
}

// language makes the vocabulary once. A pattern that cannot be made is a mistake of the program and panics.
var language = sync.OnceValue(func() *vocabulary {
	v := &vocabulary{events: slices.Clone(declaredEvents), timings: slices.Clone(declaredTimings),
		manners: slices.Clone(declaredManners)}
	v.phrases = slices.Concat(
		sitePhrases, settingPhrases(), timePhrases,
		waterPhrases, mainsPhrases, levelOutcomes, flowOutcomes, pipeworkPhrases, pipeworkOutcomes,
		valvePhrases, seatPhrases, diaphragmPhrases, valveOutcomes, surgeOutcomes, pumpOutcomes, pumpPhrases, motorPhrases,
		backflowPhrases, backflowOutcomes,
		contactPhrases, floatPhrases, soilPhrases, probePhrases, calibrationPhrases,
		networkPhrases, alertOutcomes, powerPhrases,
		connectionPhrases, voltagePhrases, firmwarePhrases, clockPhrases, declaredPhrases(),
	)
	for i, p := range v.phrases {
		v.phrases[i].pattern = newPattern(p.Pattern, p.Timed)
	}
	for i, e := range v.events {
		v.events[i].clause, v.events[i].of = newPattern(e.Clause, false), newPattern(e.Of, false)
	}
	for i, m := range v.manners {
		v.manners[i].pattern = newPattern(m.text, false)
	}
	for i, t := range v.timings {
		v.timings[i].pattern = newPattern(t.text, false)
	}
	return v
})
