package survey

import (
	"fmt"
	"strings"
	"unicode/utf8"

	q "ullage/harness/quantity"
)

// page is a site file being written: lines of YAML, each with a comment where there is something to say, the comments
// of a block below each other.
type page struct {
	system q.System
	lines  []struct{ text, comment string }
	done   strings.Builder
}

// put adds a line; the comment may be empty.
func (p *page) put(comment, format string, args ...any) {
	p.lines = append(p.lines, struct{ text, comment string }{fmt.Sprintf(format, args...), comment})
}

// note adds a comment that stands in lines of its own, wrapped.
func (p *page) note(indent, text string) {
	p.end()
	const width = 112
	line := indent + "#"
	for _, word := range strings.Fields(text) {
		if utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			p.done.WriteString(line + "\n")
			line = indent + "#"
		}
		line += " " + word
	}
	p.done.WriteString(line + "\n")
}

// end closes a block.
func (p *page) end() {
	const most = 60 // further out no comment is moved
	wide := 0
	for _, l := range p.lines {
		if n := utf8.RuneCountInString(l.text); l.comment != "" && n <= most {
			wide = max(wide, n)
		}
	}
	for _, l := range p.lines {
		p.done.WriteString(l.text)
		if l.comment != "" {
			p.done.WriteString(strings.Repeat(" ", max(1, wide+2-utf8.RuneCountInString(l.text))) + "# " + l.comment)
		}
		p.done.WriteByte('\n')
	}
	p.lines = nil
}

// part closes a block and leaves a line free.
func (p *page) part() {
	p.end()
	p.done.WriteByte('\n')
}

func (p *page) bytes() []byte {
	p.end()
	return []byte(strings.TrimRight(p.done.String(), "\n") + "\n")
}
