// Package worksheet reads the failure-mode worksheet of a suite: which failures of the site, the controller and the
// people around it have been thought of, how severe each is, how it is detected, and which scenarios show what becomes
// of it.
//
// The columns are those of IEC 60812. A row whose cause is an entry of the catalogue of faults says no more than what
// the catalogue does not: item, failure mode, cause and effects are the entry's. Scenarios are found by tags: a row
// with a catalogue entry as its cause belongs to the scenarios that inject it, which have the tag of the fault without
// being written so; every other row names the tags of its scenarios, or none, and is open.
//
// It is no API: it serves the evidence.
package worksheet

import (
	"fmt"
	"slices"
	"strings"

	"ullage/harness/fault"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
)

// FileName is the name of the worksheet in a folder of features.
const FileName = "hazards.yaml"

// ModeTag begins the tags that exist for the sake of rows: a scenario that has one has a row.
const ModeTag = "@mode-"

// FaultTag is the tag of the scenarios that inject a fault of the catalogue.
func FaultTag(id string) string { return "@fault-" + id }

// Worksheet is a failure-mode worksheet. It is not changed once it is read, and then safe for concurrent use.
type Worksheet struct {
	Title      string     `yaml:"title" json:"title"`
	Scope      string     `yaml:"scope,omitempty" json:"scope,omitempty"` // what was looked at, and what not
	Severities []Severity `yaml:"severities" json:"severities"`           // the worst first
	Rows       []Row      `yaml:"rows" json:"rows"`

	file     string
	document *sitefile.Document
}

// Severity is one class of severity.
type Severity struct {
	Name    string `yaml:"name" json:"name"`
	Meaning string `yaml:"meaning" json:"meaning"` // in words: what the end effect is like
}

// Row is one failure mode. What is left out stands in the catalogue's entry Fault.
type Row struct {
	// the catalogue's entry that is the cause; else Cause says it in words
	Fault       string `yaml:"fault,omitempty" json:"fault,omitempty"`
	Item        string `yaml:"item,omitempty" json:"item,omitempty"`
	Mode        string `yaml:"mode,omitempty" json:"mode,omitempty"`
	Cause       string `yaml:"cause,omitempty" json:"cause,omitempty"`
	LocalEffect string `yaml:"local-effect,omitempty" json:"local_effect,omitempty"`
	EndEffect   string `yaml:"end-effect,omitempty" json:"end_effect,omitempty"`
	// how it is noticed before its end effect, or that it is not
	Detection string   `yaml:"detection" json:"detection"`
	Severity  string   `yaml:"severity" json:"severity"` // of the end effect while nothing protects against it
	Scenarios []string `yaml:"scenarios,omitempty" json:"scenarios,omitempty"`
}

// Read reads a worksheet. The name is used in messages only. The error is a *sitefile.Mistakes with everything that is
// wrong.
func Read(name string, text []byte) (*Worksheet, error) {
	w := &Worksheet{file: name}
	w.document = sitefile.ReadDocument("a worksheet of failure modes", name, text, w)
	w.check()
	if err := w.document.Err(); err != nil {
		return nil, err
	}
	return w, nil
}

// File is the name that the worksheet was read under.
func (w *Worksheet) File() string { return w.file }

// check looks for names that do not exist and for columns that nobody fills.
func (w *Worksheet) check() {
	var classes, ids []string
	for i := range w.Severities {
		s := &w.Severities[i]
		if slices.Contains(classes, s.Name) {
			w.document.Mistake(&s.Name, s, sitefile.Mistake{Why: "this class is there already",
				Expected: "each severity once"})
		}
		classes = append(classes, s.Name)
	}
	for _, e := range fault.Catalogue() {
		ids = append(ids, e.ID)
	}
	for i := range w.Rows {
		r := &w.Rows[i]
		if r.Severity != "" && !slices.Contains(classes, r.Severity) {
			w.document.Mistake(&r.Severity, r, sitefile.Mistake{Expected: "a severity of this file: " +
				strings.Join(classes, ", ") + nearest(r.Severity, classes)})
		}
		if r.Fault != "" && slices.ContainsFunc(w.Rows[:i], func(before Row) bool { return before.Fault == r.Fault }) {
			w.document.Mistake(&r.Fault, r, sitefile.Mistake{Why: "this fault has a row already",
				Expected: "each fault of the catalogue in one row"})
		}
		if r.Fault != "" && !slices.Contains(ids, r.Fault) {
			w.document.Mistake(
				&r.Fault,
				r,
				sitefile.Mistake{
					Expected: "the ID of a fault in the catalogue (ullage faults lists them)" + nearest(r.Fault, ids),
				},
			)
		}
		for _, column := range []struct {
			key   string
			value *string
		}{{"item", &r.Item}, {"mode", &r.Mode}, {"cause", &r.Cause}, {"local-effect", &r.LocalEffect}, {"end-effect",
			&r.EndEffect}} {
			if r.Fault == "" && *column.value == "" {
				w.document.Mistake(column.value, r, sitefile.Mistake{Read: "nothing for " +
					fmt.Sprintf("%q", column.key),
					Expected: "a text; only a row with a fault of the catalogue may leave it out"})
			}
		}
		for j := range r.Scenarios {
			if tag := r.Scenarios[j]; !strings.HasPrefix(tag, "@") || strings.ContainsAny(tag, " ,&~|") ||
				len(tag) < 2 {
				w.document.Mistake(&r.Scenarios[j], r,
					sitefile.Mistake{Expected: `a tag of scenarios in quotes, e.g. "@mode-hose-forgotten"`})
			}
		}
	}
}

// nearest is the end of a message: the word that was meant, if there is one.
func nearest(written string, words []string) string {
	if near := spelling.Nearest(written, words); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	return ""
}

// Tags are those of the scenarios that show what becomes of a row: what it says, or the tag of its fault.
func (r Row) Tags() []string {
	if len(r.Scenarios) == 0 && r.Fault != "" {
		return []string{FaultTag(r.Fault)}
	}
	return r.Scenarios
}

// Full is the row with every column filled, those that it leaves out from the catalogue.
func (r Row) Full() Row {
	e, ok := fault.Find(r.Fault)
	if !ok {
		return r
	}
	for _, column := range []struct {
		value *string
		entry string
	}{{&r.Item, e.DeviceKind}, {&r.Mode, e.Name}, {&r.Cause, e.Mechanism}, {&r.LocalEffect,
		e.LocalEffect}, {&r.EndEffect, e.EndEffect}} {
		if *column.value == "" {
			*column.value = column.entry
		}
	}
	return r
}

// UnmatchedRowTags finds the tags of rows that no scenario has, given those of the suite. A fault that no scenario
// injects is no mistake: its row is open. The error is a *sitefile.Mistakes.
func (w *Worksheet) UnmatchedRowTags(suiteTags []string) error {
	checked := &sitefile.Mistakes{}
	for i := range w.Rows {
		r := &w.Rows[i]
		for j, tag := range r.Scenarios {
			if !slices.Contains(suiteTags, tag) {
				*checked = append(*checked, w.document.Place(&r.Scenarios[j],
					sitefile.Mistake{Why: "no scenario has this tag",
						Expected: "a tag of a scenario, or no key \"scenarios\" for a row that is open" +
							nearest(tag, suiteTags)}))
			}
		}
	}
	if len(*checked) == 0 {
		return nil
	}
	return checked
}

// UnmatchedModeTags are the tags of scenarios that begin as those of rows do and that no row names.
func (w *Worksheet) UnmatchedModeTags(suiteTags []string) []string {
	var list []string
	for _, tag := range suiteTags {
		in := func(r Row) bool { return slices.Contains(r.Scenarios, tag) }
		if strings.HasPrefix(tag, ModeTag) && !slices.ContainsFunc(w.Rows, in) {
			list = append(list, tag)
		}
	}
	return list
}

// Open reports whether no scenario shows what becomes of a row, given the tags of the suite.
func (r Row) Open(suiteTags []string) bool {
	return !slices.ContainsFunc(r.Tags(), func(tag string) bool { return slices.Contains(suiteTags, tag) })
}

// Missing are the faults of the catalogue that are simulated and have no row.
func (w *Worksheet) Missing() []fault.Entry {
	var list []fault.Entry
	for _, e := range fault.Catalogue() {
		has := slices.ContainsFunc(w.Rows, func(r Row) bool { return r.Fault == e.ID })
		if !has && e.Simulated() == nil {
			list = append(list, e)
		}
	}
	return list
}

// NewRow is a row to be pasted for a fault, with the catalogue's words in a comment, and the two columns that only
// people can fill.
func NewRow(e fault.Entry, severity string) string {
	return fmt.Sprintf("  - fault: %s # %s: %s\n    detection: %q\n    severity: %s\n", e.ID, e.Name,
		strings.TrimSuffix(e.EndEffect, "."),
		"Found on site: "+e.Check, severity)
}
