package spelling

import (
	"strconv"
	"strings"
)

// Article is a noun with its indefinite article: "a tank", "an outlet".
func Article(noun string) string {
	if noun != "" && strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// Count is a number of things: "1 error", "2 errors".
func Count(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return strconv.Itoa(n) + " " + thing
}

// longestQuote is how much of a text is shown, in characters: what fits a line with the rest of a message.
const longestQuote = 100

// Quote shows a text that was read, in quotes and cut to what fits a line.
func Quote(text string) string {
	if r := []rune(text); len(r) > longestQuote {
		text = string(r[:longestQuote]) + "…"
	}
	return strconv.Quote(text)
}
