// Package console lays out text for a terminal: columns, line breaks, marks of emphasis.
//
// It is no API: the commands, sweeps and reports of this program print with it.
package console

import (
	"strings"
	"unicode"
)

// Clean makes a foreign name fit to be shown on a terminal or in XML: one line, control characters visible as \x1b.
func Clean(s string) string {
	s = strings.Map(func(r rune) rune {
		switch r {
		case '\n', '\t', '\r':
			return ' '
		case 0xfffe, 0xffff: // no characters in XML
			return '\uFFFD'
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	return string(show([]byte(s)))
}

// columns is how many columns of a terminal a character takes.
func columns(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case unicode.In(r, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana):
		return 2
	}
	return 1
}

// Width is how many columns a text takes.
func Width(s string) int {
	n := 0
	for _, r := range s {
		n += columns(r)
	}
	return n
}

// Cut shortens a text to a width, with an ellipsis where something is missing.
func Cut(s string, limit int) string {
	if Width(s) <= limit {
		return s
	}
	n := 0
	for i, r := range s {
		if n += columns(r); n > limit-1 {
			return strings.TrimRight(s[:i], " ") + "…"
		}
	}
	return s
}

// Wrap breaks a text at spaces into lines of at most a width; longer words stay whole.
func Wrap(s string, limit int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && Width(line)+1+Width(word) > limit {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// Fold breaks a text for a column of a table: lines after the first are indented, words that do not fit are cut.
func Fold(s string, limit int) []string {
	if Width(s) <= limit {
		return []string{s}
	}
	lines := Wrap(s, limit-2)
	for i, l := range lines {
		lines[i] = Cut(l, limit-2)
		if i > 0 {
			lines[i] = "  " + lines[i]
		}
	}
	return lines
}

// PadRight fills a text with spaces on its right to a width.
func PadRight(s string, to int) string { return s + strings.Repeat(" ", max(0, to-Width(s))) }

// PadLeft fills a text with spaces on its left to a width.
func PadLeft(s string, to int) string { return strings.Repeat(" ", max(0, to-Width(s))) + s }

// ShellWord quotes an argument of a command so that it can be pasted.
func ShellWord(s string) string {
	plain := s != "" && strings.IndexFunc(s, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' ||
			strings.ContainsRune("-_./:=,@+%", r))
	}) < 0
	if plain {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
