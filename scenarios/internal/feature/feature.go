package feature

import (
	"bytes"
	"fmt"
	"hash/fnv"
	"path"
	"regexp"
	"strconv"
	"strings"

	gherkin "github.com/cucumber/gherkin/go/v42"
	messages "github.com/cucumber/messages/go/v34"

	"ullage/harness"
	"ullage/harness/spelling"
)

// Scenario is one scenario of a feature file, or one row of the examples of an outline. As JSON it is what a run
// depends on.
type Scenario struct {
	File    string   `json:"file"`
	Line    int      `json:"line"`           // of the scenario, or of its row of examples
	Outline int      `json:"-"`              // line of the outline that a row belongs to; else as Line
	Feature string   `json:"feature"`        // title
	Rule    string   `json:"rule,omitempty"` // title, "" without one
	Name    string   `json:"name"`
	Row     int      `json:"row,omitempty"` // from 1 among the rows of an outline; 0 without one
	About   string   `json:"-"`             // what stands between its title and its steps, "" without
	Tags    []string `json:"tags,omitempty"`
	Steps   []Step   `json:"steps"`

	tagPlaces map[string]place
}

// place is where something stands in a file, from 1.
type place struct{ line, column int }

// TagPlace is where a tag of the scenario stands: above it, or above its examples, rule or feature. The column is 0
// where the scenario was not read from a file.
func (s Scenario) TagPlace(tag string) (line, column int) {
	if p, ok := s.tagPlaces[tag]; ok {
		return p.line, p.column
	}
	return s.Line, 0
}

// Step is one step of a scenario.
type Step struct {
	Kind     Kind   `json:"kind"` // And and But have the kind of the step before; 0 for a step that begins with *
	Text     string `json:"text"` // without its keyword
	Line     int    `json:"line,omitempty"`
	Argument bool   `json:"argument,omitempty"` // a table or text stands below it
}

// Script is what a script says of the scenario before any step is compiled.
func (s Scenario) Script(seed uint64) *harness.Script {
	return &harness.Script{Name: s.Name, Feature: s.Feature, Rule: s.Rule, File: s.File, Line: s.Line, Tags: s.Tags,
		Seed: s.Seed(seed)}
}

// Seed is the seed of the scenario's draws: what the scenario is, mixed with the seed of the run. It does not depend on
// where the file lies, nor on the lines around it.
func (s Scenario) Seed(seed uint64) uint64 {
	h := fnv.New64a()
	fmt.Fprintf(h, "%s\x00%s\x00%d\x00%d", path.Base(s.File), s.Name, s.Row, seed)
	return h.Sum64()
}

// ReadFeature reads a feature file. The name is used in messages, and as the file of its scenarios.
func ReadFeature(name string, text []byte) (scenarios []Scenario, problems Problems) {
	defer func() {
		if recover() != nil { // a defect of the parser must not end the program
			scenarios, problems = nil, Problems{{File: name,
				Expected: "expected a feature file in the Gherkin language"}}
		}
	}()
	if p := tooLong(name, text); p != nil {
		return nil, Problems{*p}
	}
	if p := notUTF8(name, text); p != nil {
		return nil, Problems{*p}
	}
	written := headings(name, text)
	ids := (&messages.Incrementing{}).NewId
	doc, err := gherkin.ParseGherkinDocument(bytes.NewReader(text), ids)
	switch {
	case len(written) > 0:
		return nil, written
	case err != nil:
		return nil, syntaxProblems(name, err)
	}
	if doc.Feature == nil {
		return nil, Problems{{File: name, Line: 1, Expected: "the file has no Feature"}}
	}
	r := featureReader{file: name, rules: map[string]string{}, abouts: map[string]string{}, outlines: map[string]int{},
		steps: map[string]int{}, tags: map[string]place{}}
	r.walk(doc.Feature)
	if n := weight(doc.Feature); n > mostSteps {
		return nil, Problems{{File: name, Line: 1,
			Expected: fmt.Sprintf("the file has %d scenarios and steps, each row of an outline counted with its steps "+
				"and those of the Background; expected at most %d", n, mostSteps)}}
	}
	rows := map[string]int{}
	for _, p := range gherkin.Pickles(*doc, name, ids) {
		id := p.AstNodeIds[0]
		s := Scenario{File: name, Line: int(p.Location.Line), Outline: r.outlines[id], Feature: doc.Feature.Name,
			Rule: r.rules[id], Name: p.Name, About: r.abouts[id]}
		if len(p.AstNodeIds) > 1 {
			rows[id]++
			s.Row = rows[id]
		}
		s.tagPlaces = map[string]place{}
		for _, t := range p.Tags {
			s.Tags = append(s.Tags, t.Name)
			s.tagPlaces[t.Name] = r.tags[t.AstNodeId]
		}
		for _, step := range p.Steps {
			s.Steps = append(s.Steps, Step{Kind: kinds[step.Type], Text: step.Text, Argument: step.Argument != nil,
				Line: r.steps[step.AstNodeIds[0]]})
		}
		scenarios = append(scenarios, s)
	}
	return scenarios, append(r.problems, unique(scenarios)...)
}

// What a feature file may hold at most. The parser takes time by the square of the lines of a text in quotes, and each
// row of an outline becomes a scenario.
const (
	mostLines = 20_000
	mostBytes = 10_000 // of a line
	mostSteps = 20_000 // of all scenarios, and the scenarios themselves
)

// tooLong says what a file has too much of, before it is taken apart; nil when it has not.
func tooLong(name string, text []byte) *Problem {
	n := 0
	for line := range bytes.Lines(text) {
		switch n++; {
		case n > mostLines:
			return &Problem{File: name, Line: n, Expected: fmt.Sprintf("the file has more than %d lines", mostLines)}
		case len(line) > mostBytes:
			return &Problem{File: name, Line: n, Expected: fmt.Sprintf("the line has %d bytes; expected at most %d",
				len(line), mostBytes)}
		}
	}
	return nil
}

// weight is the number of scenarios that a feature becomes, and of their steps.
func weight(f *messages.Feature) (n int) {
	var background int
	for _, child := range f.Children {
		background += stepsOf(child.Background)
		n += weigh(child.Scenario, background)
		if child.Rule == nil {
			continue
		}
		inner := background
		for _, child := range child.Rule.Children {
			inner += stepsOf(child.Background)
			n += weigh(child.Scenario, inner)
		}
	}
	return n
}

func stepsOf(b *messages.Background) int {
	if b == nil {
		return 0
	}
	return len(b.Steps)
}

func weigh(s *messages.Scenario, background int) int {
	if s == nil {
		return 0
	}
	rows := 0
	for _, e := range s.Examples {
		rows += len(e.TableBody)
	}
	if len(s.Examples) == 0 {
		rows = 1
	}
	return rows * (1 + background + len(s.Steps))
}

var kinds = map[messages.PickleStepType]Kind{
	messages.PickleStepType_CONTEXT: Given,
	messages.PickleStepType_ACTION:  When,
	messages.PickleStepType_OUTCOME: Then,
}

// featureReader finds what the compiled scenarios of the parser do not say, by the parser's ids.
type featureReader struct {
	file     string
	problems Problems
	rules    map[string]string // scenario -> title of its rule
	abouts   map[string]string // scenario -> its description
	outlines map[string]int    // scenario -> its line
	steps    map[string]int    // step -> its line
	tags     map[string]place  // tag -> its place
}

func (r *featureReader) walk(f *messages.Feature) {
	r.places(f.Tags)
	for _, child := range f.Children {
		r.background(child.Background)
		r.scenario(child.Scenario, "")
		if child.Rule != nil {
			r.places(child.Rule.Tags)
			for _, inner := range child.Rule.Children {
				r.background(inner.Background)
				r.scenario(inner.Scenario, child.Rule.Name)
			}
		}
	}
}

func (r *featureReader) background(b *messages.Background) {
	if b != nil {
		r.note(b.Steps)
	}
}

func (r *featureReader) scenario(s *messages.Scenario, rule string) {
	if s == nil {
		return
	}
	r.rules[s.Id], r.outlines[s.Id] = rule, int(s.Location.Line)
	r.abouts[s.Id] = strings.Join(strings.Fields(s.Description), " ")
	r.note(s.Steps)
	r.places(s.Tags)
	for _, e := range s.Examples {
		r.places(e.Tags)
	}
	if len(s.Steps) == 0 {
		r.problems = append(r.problems, Problem{File: r.file, Line: int(s.Location.Line), Scenario: s.Name,
			Expected: "the scenario has no steps"})
		return
	}
	r.outline(s)
}

func (r *featureReader) places(tags []*messages.Tag) {
	for _, t := range tags {
		r.tags[t.Id] = place{int(t.Location.Line), int(t.Location.Column)}
	}
}

func (r *featureReader) note(steps []*messages.Step) {
	for _, s := range steps {
		r.steps[s.Id] = int(s.Location.Line)
	}
}

var (
	syntaxError = regexp.MustCompile(`\((\d+):(\d+)\): (.*)`)
	// unknownLine is what the parser says of a line that begins as none can.
	unknownLine = regexp.MustCompile(`^expected: .*, got '(.*)'$`)
)

// syntaxProblems takes the parser's errors apart.
func syntaxProblems(name string, err error) Problems {
	var problems Problems
	for _, m := range syntaxError.FindAllStringSubmatch(err.Error(), -1) {
		line, _ := strconv.Atoi(m[1])
		column, _ := strconv.Atoi(m[2])
		p := Problem{File: name, Line: line, Column: column, Expected: m[3]}
		if got := unknownLine.FindStringSubmatch(m[3]); got != nil {
			p.Read, p.Expected = spelling.Quote(strings.TrimSpace(got[1])), "a step that begins with Given, When, Then, "+
				"And or But, or a heading with its colon, such as \"Scenario: ...\"; comments begin with #"
		}
		problems = append(problems, p)
	}
	if problems == nil {
		problems = Problems{{File: name, Expected: err.Error()}}
	}
	return problems
}
