package console

import (
	"bytes"
	"io"
	"regexp"
	"strings"
)

// unbounded is the width that a sheet takes at the most where no terminal bounds it.
const unbounded = 160

// Sheet is a page of text for the console, with a width and marks of emphasis. It belongs to one goroutine.
type Sheet struct {
	Width  int  // columns; never less than 60
	Cuts   bool // a terminal bounds the width
	Colour bool
	out    bytes.Buffer
}

// NewSheet begins a sheet. A width of 0 is an output that is no terminal: nothing is cut.
func NewSheet(width int, colour bool) Sheet {
	if width <= 0 {
		return Sheet{Width: unbounded, Colour: colour}
	}
	return Sheet{Width: max(60, width), Cuts: true, Colour: colour}
}

// Line writes a line and no spaces at its end.
func (s *Sheet) Line(text string) {
	s.out.WriteString(strings.TrimRight(text, " "))
	s.out.WriteByte('\n')
}

// Note writes a text over as many lines as it needs, each behind the same indent. The lines of the text stay lines.
func (s *Sheet) Note(indent, text string) {
	for _, line := range strings.Split(text, "\n") {
		for _, l := range Wrap(Clean(line), max(20, s.Width-len(indent))) {
			s.Line(indent + l)
		}
	}
}

// Print writes the sheet to w. To an Output the marks of emphasis are sent, and nothing else that a terminal obeys.
func (s *Sheet) Print(w io.Writer) error {
	o, ok := w.(*Output)
	if !ok || !s.Colour {
		_, err := w.Write(s.out.Bytes())
		return err
	}
	var text []byte
	all, at := s.out.Bytes(), 0
	for _, span := range marks.FindAllIndex(all, -1) {
		text = append(append(text, show(all[at:span[0]])...), all[span[0]:span[1]]...)
		at = span[1]
	}
	text = append(text, show(all[at:])...)
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.send(text)
}

// The escape sequences of emphasis. Colours that people tell apart whatever they see; the word always stands beside.
const (
	Bold   = "1"
	Dim    = "2"
	Blue   = "34"
	Orange = "1;33"
)

// marks are the escape sequences that Mark makes.
var marks = regexp.MustCompile("\x1b\\[(?:0|" + Bold + "|" + Dim + "|" + Blue + "|" + Orange + ")m")

// Mark emphasises a text where the sheet has colour.
func (s *Sheet) Mark(code, text string) string {
	if !s.Colour || text == "" {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}
