package evidence

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// clean makes a foreign name fit to be shown on a terminal or in XML: one line, control characters as their pictures.
func clean(s string) string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case r < 0x20:
			return 0x2400 + r
		case r == 0x7f:
			return 0x2421
		case r >= 0x80 && r < 0xa0, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0xfffe, r == 0xffff:
			return '\uFFFD'
		}
		return r
	}, s)
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

func width(s string) int {
	n := 0
	for _, r := range s {
		n += columns(r)
	}
	return n
}

// cut shortens a text to a width, with an ellipsis where something is missing.
func cut(s string, limit int) string {
	if width(s) <= limit {
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

// wrap breaks a text at spaces into lines of at most a width; longer words stay whole.
func wrap(s string, limit int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && width(line)+1+width(word) > limit {
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

// fold breaks a text for a column of a table: lines after the first are indented, words that do not fit are cut.
func fold(s string, limit int) []string {
	if width(s) <= limit {
		return []string{s}
	}
	lines := wrap(s, limit-2)
	for i, l := range lines {
		lines[i] = cut(l, limit-2)
		if i > 0 {
			lines[i] = "  " + lines[i]
		}
	}
	return lines
}

func padRight(s string, to int) string { return s + strings.Repeat(" ", max(0, to-width(s))) }

func padLeft(s string, to int) string { return strings.Repeat(" ", max(0, to-width(s))) + s }

// spare prints a margin with its unit.
func spare(margin float64, dim quantity.Dimension) string {
	switch {
	case math.IsInf(margin, 1):
		return "∞"
	case math.IsInf(margin, -1):
		return "-∞"
	}
	text := quantity.FormatDifferenceIn(margin, dim, quantity.Metric)
	if dim == quantity.Count {
		if text == "1" || text == "-1" {
			return text + " time"
		}
		return text + " times"
	}
	return text
}

// percent prints a share with two or three digits: "4.2 %", "24 %".
func percent(share float64) string {
	p := share * 100
	digits := 0
	switch size := math.Abs(p); {
	case size == 0 || math.IsInf(p, 0):
	case size < 0.1:
		return strconv.FormatFloat(p, 'g', 2, 64) + " %"
	case size < 9.95:
		digits = 1
	}
	return strconv.FormatFloat(p, 'f', digits, 64) + " %"
}

// clock prints a moment to the millisecond.
func clock(t signal.Time) string {
	if t == signal.Never {
		return t.String()
	}
	return ((t + signal.Millisecond/2) / signal.Millisecond * signal.Millisecond).String()
}

// plural is "1 scenario", "2 scenarios".
func plural(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// shellWord quotes an argument so that it can be pasted.
func shellWord(s string) string {
	plain := s != "" && strings.IndexFunc(s, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_./:=,@+%", r))
	}) < 0
	if plain {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
