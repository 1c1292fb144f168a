package sitefile

import (
	"fmt"
	"strconv"
	"strings"
)

// Mistake is one thing that is wrong with a site file.
type Mistake struct {
	File         string // name of the file as it was given to Read
	Path         string // keys and names that lead there: "tanks/header-tank/rim"
	Line, Column int    // from 1, in characters; 0 when the site did not come from a file
	Read         string // what stands there, in quotes, or what it is: nothing, a list
	Why          string // what is wrong with it, where that does not follow from Expected; may be empty
	// what was expected, and the nearest valid name where there is one; may be empty when Why says it
	Expected string
	Excerpt  string // the line with a caret below the place
}

// Error is one line, and the excerpt below it: tern-lane.yaml:12:34: read "2.4 br"; expected a pressure, e.g. 2.4 bar.
func (m Mistake) Error() string {
	var b strings.Builder
	switch {
	case m.Line > 0:
		fmt.Fprintf(&b, "%s:%d:%d: read %s", m.File, m.Line, m.Column, m.Read)
	case m.Path == "":
		fmt.Fprintf(&b, "%s: read %s", m.File, m.Read)
	default:
		fmt.Fprintf(&b, "%s: %s: read %s", m.File, m.Path, m.Read)
	}
	if m.Why != "" {
		b.WriteString(": " + m.Why)
	}
	if m.Expected != "" {
		b.WriteString("; expected " + m.Expected)
	}
	if m.Excerpt != "" {
		b.WriteString("\n" + m.Excerpt)
	}
	return b.String()
}

// Mistakes are all the mistakes of one site file, in the order of their places. Read returns them as its error.
type Mistakes []Mistake

// Error lists every mistake.
func (m *Mistakes) Error() string {
	var all []string
	for _, mistake := range *m {
		all = append(all, mistake.Error())
	}
	return strings.Join(all, "\n")
}

// excerpt shows a line of the file, cut around the column, with a caret below it.
func excerpt(lines []string, line, column int) string {
	if line < 1 || line > len(lines) {
		return ""
	}
	const before, after = 60, 50
	text := []rune(lines[line-1])
	at := min(max(column-1, 0), len(text))
	head, tail := "", ""
	from, to := 0, len(text)
	if at > before {
		head, from = "… ", at-before
	}
	if to-at > after {
		tail, to = " …", at+after
	}
	margin := fmt.Sprintf("  %d | ", line)
	return margin + head + printable(text[from:to]) + tail + "\n" +
		strings.Repeat(" ", len(margin)-2) + "| " + strings.Repeat(" ", len([]rune(head))+at-from) + "^"
}

// printable keeps one column a character, so that the caret stands right.
func printable(text []rune) string {
	shown := make([]rune, len(text))
	for i, r := range text {
		shown[i] = r
		if !strconv.IsPrint(r) {
			shown[i] = ' '
		}
	}
	return string(shown)
}
