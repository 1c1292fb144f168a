package evidence

import "strings"

// cell is a text as it stands in a cell of CSV: a spreadsheet that opens the file would run one that begins with these
// characters as a formula, and takes it for text behind an apostrophe. A text that begins with an apostrophe is given
// another, so that readers that take the first one off have what was written. Numbers are no texts.
func cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n'＝＋－＠", []rune(s)[0]) {
		return "'" + s
	}
	return s
}

// quoted quotes a cell where RFC 4180 asks for it.
func quoted(s string) string {
	if !strings.ContainsAny(s, ",\"\r\n") {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}
