package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"ullage/scenarios/internal/language"
	"ullage/scenarios/internal/phrases"
)

// Listing is every phrase with its meaning and an example, and what may be filled in for <when> and <event>, as a
// person reads it. It is made of the declarations themselves.
func Listing() string {
	var b strings.Builder
	for _, p := range Phrases() {
		fmt.Fprintf(&b, "%v %s\n    %s\n    e.g. %s\n", p.Kind, p.Text(), p.Meaning, p.Example)
	}
	b.WriteString("\nWhat stands in <angle brackets> is filled in; what stands in [square brackets] may be left out.\n")
	b.WriteString("\nWhat is to follow \"within <duration> of <event>\" must follow each occurrence of the event since the " +
		"Givens;\n\"within <duration> of the first <event>\" judges the first alone, e.g. within 5 s of the first " +
		"\"tank-spill\" operating.\nWithout an event a deadline counts from the last fault or stimulus. In the place of \"within ...\" may " +
		"stand\n\"by <time of day>\", e.g. by 06:30.\n")
	b.WriteString("\n<when> is one of\n")
	for _, w := range Timings() {
		fmt.Fprintf(&b, "    %s\n", w)
	}
	b.WriteString("\n<how> is one of\n")
	for _, m := range Manners() {
		fmt.Fprintf(&b, "    %s\n        %s\n", m[0], m[1])
	}
	b.WriteString("\n<event> is one of, as a clause / as what a time counts from\n")
	for _, e := range Events() {
		clause, of := e.Text()
		fmt.Fprintf(&b, "    %s / %s\n        %s\n", clause, of, e.Meaning)
	}
	b.WriteString(judged)
	return b.String()
}

// judged says how a Then is judged.
const judged = `
A Then that holds counts only when it is exercised: when something that it looks at would be otherwise without the fault
(or, in a scenario without one, without the stimulus or the setting), or when what the fault did to the controller is, by
the settings, an input of a rule that decides what the Then looks at. Where nothing moved at all, the margin is how far
that input was from acting, or there is no margin.
`

// Phrases lists every phrase, topic by topic. Examples of faults are those of the catalogue on the shipped sites.
func Phrases() []Phrase {
	list := slices.Clone(phrases.Language().Phrases)
	for i, p := range list {
		if p.Sentences != nil {
			list[i].Example = p.Sentences[0].Entry.Example(p.Sentences[0].Phrase, ShippedSites())
		}
	}
	return list
}

// Timings lists the ways to say when a fault or stimulus happens, for the "<when>" of a phrase.
func Timings() []string {
	return language.Names(phrases.Language().Timings, func(t language.Timing) string { return t.Pattern.Shows })
}

// Manners lists the ways in which a fault or stimulus may happen, for the "<how>" of a phrase, each with its meaning.
func Manners() [][2]string {
	return language.Names(phrases.Language().Manners,
		func(m language.Manner) [2]string { return [2]string{m.Pattern.Shows, m.Meaning} })
}

// Events lists every event.
func Events() []Event { return slices.Clone(phrases.Language().Events) }
