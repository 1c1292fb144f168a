package console

import (
	"bytes"
	"fmt"
	"io"
	"sync"
	"unicode/utf8"
)

// Output is where a command writes to. Control characters in what it is given, which can come from names, files and
// error messages of others, are shown and not sent: a terminal would obey them. Emphasis goes past that, in a Sheet. It
// remembers the first error of writing. It is safe for concurrent use.
type Output struct {
	To   io.Writer
	mu   sync.Mutex
	err  error
	part []byte // the beginning of a character whose end has not come yet
}

// Write writes a text with its control characters shown.
func (o *Output) Write(text []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	all := append(o.part, text...)
	o.part = nil
	for i := max(0, len(all)-utf8.UTFMax); i < len(all); i++ {
		if !utf8.FullRune(all[i:]) {
			o.part = bytes.Clone(all[i:])
			all = all[:i]
		}
	}
	if err := o.send(show(all)); err != nil {
		return 0, err
	}
	return len(text), nil
}

// Err is the first error of writing, also of what is left.
func (o *Output) Err() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	if len(o.part) > 0 {
		_ = o.send(show(o.part))
		o.part = nil
	}
	return o.err
}

// send writes a text as it is.
func (o *Output) send(text []byte) error {
	_, err := o.To.Write(text)
	if err != nil && o.err == nil {
		o.err = err
	}
	return err
}

// obeyed reports whether a terminal does something else with a character than to show it: control characters but for
// the end of a line and a tab, and those that turn the direction of a text round (Unicode Standard Annex 9).
func obeyed(r rune) bool {
	return r < ' ' && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 || r == 0x61c || r == 0x200e || r == 0x200f ||
		r >= 0x2028 && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}

// visible is how such a character is shown, \x1b or \u202e. In JSON, where those below a blank are escaped already, the
// others become what they were.
func visible(r rune) string {
	if r < ' ' {
		return fmt.Sprintf(`\x%02x`, r)
	}
	return fmt.Sprintf(`\u%04x`, r)
}

// show makes the characters visible that a terminal obeys, and bytes that are no characters.
func show(text []byte) []byte {
	clean := true
	for i := 0; i < len(text) && clean; i++ {
		clean = text[i] >= ' ' && text[i] < 0x7f || text[i] == '\n'
	}
	if clean {
		return text
	}
	var out bytes.Buffer
	for len(text) > 0 {
		r, size := utf8.DecodeRune(text)
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&out, `\x%02x`, text[0])
		case obeyed(r):
			out.WriteString(visible(r))
		default:
			out.Write(text[:size])
		}
		text = text[size:]
	}
	return out.Bytes()
}
