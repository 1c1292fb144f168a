package feature

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	messages "github.com/cucumber/messages/go/v34"

	"ullage/harness/spelling"
	"ullage/harness/textfile"
)

// notUTF8 says where a file is in another encoding, nil when it is in none.
func notUTF8(name string, text []byte) *Problem {
	f, is := textfile.NotUTF8(text)
	if !is {
		return nil
	}
	return &Problem{File: name, Line: f.Line, Column: f.Column, Read: f.Word + ": " + f.Why,
		Expected: "a feature file, saved as UTF-8"}
}

var (
	// heading is a line that begins as a heading does. Without its colon the parser takes it for a description.
	heading = regexp.MustCompile(`^\s*((?i:scenario outline|scenario template|scenario|feature|background|rule|` +
		`examples|example))\b\s*(.*)$`)
	// quotes begin and end a text below a step, in which anything may stand.
	quotes = regexp.MustCompile("^\\s*(\"\"\"|```)")
	// stepLine is a line that can only stand below the heading of a scenario.
	stepLine = regexp.MustCompile(`^\s*(?:(?:Given|When|Then|And|But)\s|\|)`)
)

// headings finds the headings without a colon, and those that do not begin with a capital. A line of a description may
// well begin with a word such as rule: what counts is a Scenario with a capital, and what steps follow on.
func headings(name string, text []byte) (problems Problems) {
	lines := strings.Split(string(text), "\n")
	inText := false
	for i, line := range lines {
		if quotes.MatchString(line) {
			inText = !inText
		}
		m := heading.FindStringSubmatch(line)
		if inText || m == nil {
			continue
		}
		word, title := m[1], m[2]
		proper := strings.ToUpper(word[:1]) + strings.ToLower(word[1:])
		proper = strings.NewReplacer("outline", "Outline", "template", "Template").Replace(proper)
		colon := strings.HasPrefix(title, ":")
		switch {
		case colon && word == proper:
			continue
		case !colon && !strings.HasPrefix(word, "Scenario") && !stepsFollow(lines[i+1:]):
			continue
		}
		title = strings.TrimSpace(strings.TrimPrefix(title, ":"))
		p := Problem{File: name, Line: i + 1, Column: 1 + len(line) - len(strings.TrimLeft(line, " \t")),
			Read: spelling.Quote(strings.TrimSpace(line)), Expected: fmt.Sprintf("%q", strings.TrimSpace(proper+": "+title))}
		if colon {
			p.Expected += ": a heading begins with a capital"
		} else {
			p.Expected += ": without its colon the line is a description, and no heading"
		}
		problems = append(problems, p)
	}
	return problems
}

// stepsFollow reports whether the first line that is not blank is one of a scenario.
func stepsFollow(lines []string) bool {
	i := slices.IndexFunc(lines, func(line string) bool { return strings.TrimSpace(line) != "" })
	return i >= 0 && stepLine.MatchString(lines[i])
}

// fillIn is a place in a step of an outline at which a value of the examples is put.
var fillIn = regexp.MustCompile(`<([^<>]+)>`)

// outline finds what an outline lacks: its Examples, rows, and columns that its steps ask for.
func (r *featureReader) outline(s *messages.Scenario) {
	problem := func(at *messages.Location, read, expected string) {
		r.problems = append(r.problems, Problem{File: r.file, Line: int(at.Line), Column: int(at.Column), Scenario: s.Name,
			Read: read, Expected: expected})
	}
	var columns []string
	rows := 0
	for _, e := range s.Examples {
		rows += len(e.TableBody)
		if e.TableHeader == nil {
			continue
		}
		for _, c := range e.TableHeader.Cells {
			columns = append(columns, c.Value)
		}
	}
	isOutline := strings.HasPrefix(s.Keyword, "Scenario ")
	asked := map[string]bool{}
	for _, step := range s.Steps {
		for _, m := range fillIn.FindAllStringSubmatch(step.Text, -1) {
			if slices.Contains(columns, m[1]) || asked[m[1]] || len(s.Examples) == 0 {
				continue
			}
			asked[m[1]] = true
			problem(step.Location, spelling.Quote(m[0]),
				"a column of the examples: "+strings.Join(slices.Compact(columns), ", "))
		}
	}
	switch {
	case isOutline && len(s.Examples) == 0:
		problem(s.Location, "", "the outline has no Examples; expected below its steps \"Examples:\" and a "+
			"table, its first row the names that stand in <angle brackets>; or \"Scenario:\" in the place of "+
			spelling.Quote(s.Keyword+":"))
	case len(s.Examples) > 0 && rows == 0:
		problem(s.Location, "", "the outline has no row of examples")
	}
}

// unique finds scenarios of one name: their draws come from it, and nothing tells one from the other in a report. The
// rows of an outline share theirs.
func unique(list []Scenario) (problems Problems) {
	first := map[string]int{}
	for _, s := range list {
		line, there := first[s.Name]
		switch {
		case !there:
			first[s.Name] = s.Outline
		case line != s.Outline && s.Row <= 1:
			problems = append(problems, Problem{File: s.File, Line: s.Outline, Scenario: s.Name,
				Read: "the scenario " + spelling.Quote(s.Name),
				Expected: fmt.Sprintf("a name that no other scenario of the file has; the one of line %d has it already",
					line)})
		}
	}
	return problems
}
