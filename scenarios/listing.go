package scenarios

import (
	"fmt"
	"strings"
)

// Listing is every phrase with its meaning and an example, and what may be filled in for <when> and <event>, as a person
// reads it. It is made of the declarations themselves.
func Listing() string {
	var b strings.Builder
	for _, p := range Phrases() {
		fmt.Fprintf(&b, "%v %s\n    %s\n    e.g. %s\n", p.Kind, p.Text(), p.Meaning, p.Example)
	}
	b.WriteString("\nWhat stands in <angle brackets> is filled in; what stands in [square brackets] may be left out.\n")
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
	return b.String()
}
