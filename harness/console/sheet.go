package console

import (
	"bytes"
	"io"
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

// Print writes the sheet to w.
func (s *Sheet) Print(w io.Writer) error {
	_, err := w.Write(s.out.Bytes())
	return err
}

// The escape sequences of emphasis. Colours that people tell apart whatever they see; the word always stands beside.
const (
	Bold   = "1"
	Dim    = "2"
	Blue   = "34"
	Orange = "1;33"
)

// Mark emphasises a text where the sheet has colour.
func (s *Sheet) Mark(code, text string) string {
	if !s.Colour || text == "" {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}
