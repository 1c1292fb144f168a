package textfile

import (
	"bytes"
	"unicode/utf8"
)

// Foreign is a place at which a text is not UTF-8.
type Foreign struct {
	Line, Column int    // from 1, in characters
	Word         string // what stands there, with each byte that is no UTF-8 read as a character of Latin-1
	Why          string // what the text is instead, as far as it shows
}

// NotUTF8 finds the first place at which a text is not UTF-8; ok is false when it is all UTF-8. Text in two bytes a
// character, as some editors save it, begins with a mark of its own and holds zeros.
func NotUTF8(text []byte) (f Foreign, ok bool) {
	wide := bytes.HasPrefix(text, []byte{0xff, 0xfe}) || bytes.HasPrefix(text, []byte{0xfe, 0xff})
	if zero := bytes.IndexByte(text, 0); wide || zero >= 0 {
		return Foreign{Line: 1 + bytes.Count(text[:max(zero, 0)], []byte("\n")), Column: 1, Word: "zero bytes",
			Why: "it is UTF-16 or no text at all"}, true
	}
	for at := 0; at < len(text); {
		r, size := utf8.DecodeRune(text[at:])
		if r == utf8.RuneError && size == 1 {
			line := text[bytes.LastIndexByte(text[:at], '\n')+1:]
			begin := at - (len(text) - len(line))
			line, _, _ = bytes.Cut(line, []byte("\n"))
			return Foreign{Line: 1 + bytes.Count(text[:at], []byte("\n")), Column: 1 + utf8.RuneCount(line[:begin]),
				Word: word(line, begin), Why: "it is not UTF-8 text, but Latin-1 or the like"}, true
		}
		at += size
	}
	return Foreign{}, false
}

// word is what stands between the spaces around a place.
func word(line []byte, at int) string {
	from := bytes.LastIndexAny(line[:at], " \t\"") + 1
	to := len(line)
	if n := bytes.IndexAny(line[at:], " \t\"\r"); n >= 0 {
		to = at + n
	}
	return string(Latin1(line[from:to]))
}

// Latin1 is a text with each byte that is no UTF-8 read as a character of Latin-1, which makes of a text in that
// encoding what its writer sees.
func Latin1(text []byte) []byte {
	var shown []byte
	for len(text) > 0 {
		r, size := utf8.DecodeRune(text)
		if r == utf8.RuneError && size == 1 {
			r = rune(text[0])
		}
		shown, text = utf8.AppendRune(shown, r), text[size:]
	}
	return shown
}
