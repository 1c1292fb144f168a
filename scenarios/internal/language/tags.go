package language

import (
	"slices"
	"strings"

	"ullage/harness/fault"
	"ullage/harness/spelling"
	"ullage/harness/worksheet"
	"ullage/scenarios/internal/feature"
)

// tagKind is a kind of tag that means something to the program. Other tags are free.
type tagKind struct {
	begins string          // what its tags begin with
	what   string          // what follows
	names  func() []string // what may follow; nil for anything
}

// tagKinds are they. What a tag of a failure mode may name is checked with the worksheet.
var tagKinds = []tagKind{
	{protectionTag, "a protection", func() []string { return sorted(protections) }},
	{worksheet.FaultTag(""), "a fault of the catalogue", faultIDs},
	{"@hazard-", "a hazard", hazards},
	{worksheet.ModeTag, "a failure mode", nil},
}

func faultIDs() []string { return Names(fault.Catalogue(), func(e fault.Entry) string { return e.ID }) }

func hazards() []string {
	return Names(fault.Hazards(), func(h fault.Hazard) string { return strings.ReplaceAll(string(h), " ", "-") })
}

// tags notes what the tags of the scenario ask for, and says which of them are unknown: they begin as one of a kind
// does and name nothing that there is, or nearly begin so.
func (c *Compiler) tags() {
	for _, tag := range c.scenario.Tags {
		kind, name := kindOf(tag)
		switch {
		case kind == nil:
			if meant := misspelt(tag); meant != "" {
				c.tagProblem(tag, "a tag that begins with "+meant+", or one that does not look like it")
			}
		case kind.names == nil:
		case !slices.Contains(kind.names(), name):
			expected := "after " + kind.begins + " " + kind.what + " (" + strings.Join(kind.names(), ", ") + ")"
			if len(kind.names()) > mostNames {
				expected = "after " + kind.begins + " " + kind.what + ", as \"ullage faults\" lists them"
			}
			if near := spelling.Nearest(name, kind.names()); near != "" {
				expected += "; did you mean " + kind.begins + near + "?"
			}
			c.tagProblem(tag, expected)
		case kind.begins == protectionTag:
			c.Need(protections[name])
		}
	}
}

// mostNames is how many names a message lists.
const mostNames = 20

func (c *Compiler) tagProblem(tag, expected string) {
	line, column := c.scenario.TagPlace(tag)
	c.problems = append(c.problems, feature.Problem{File: c.scenario.File, Line: line, Column: column,
		Read: spelling.Quote(tag), Expected: expected})
}

// kindOf is the kind that a tag is of, nil when it is of none, and what follows.
func kindOf(tag string) (*tagKind, string) {
	for i, k := range tagKinds {
		if name, ok := strings.CutPrefix(tag, k.begins); ok {
			return &tagKinds[i], name
		}
	}
	return nil, ""
}

// misspelt is what a tag should begin with, when it nearly does and goes on with a name of that kind.
func misspelt(tag string) string {
	head, name, _ := strings.Cut(tag, "-")
	for _, k := range tagKinds {
		if k.names != nil && slices.Contains(k.names(), name) && spelling.Nearest(head+"-", []string{k.begins}) != "" {
			return k.begins
		}
	}
	return ""
}

// faultTags gives a script the tags of the faults that it plays.
func (c *Compiler) faultTags() {
	tags := slices.Clone(c.Script.Tags)
	for _, a := range c.Script.Acts {
		if tag := worksheet.FaultTag(a.Fault); a.Fault != "" && !slices.Contains(tags, tag) {
			tags = append(tags, tag)
		}
	}
	c.Script.Tags = tags
}
