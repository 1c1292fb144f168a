// Package spelling puts words into messages: it finds the word that was meant by one that was misspelt, and writes
// articles, numbers of things and quotes.
//
// It is no API: it serves the messages of this program.
package spelling

import "strings"

// longest is the number of characters up to which a text is taken for a misspelt word.
const longest = 64

// Nearest is the word of the list that is closest to what was written, if it is close enough to be a slip of the hand:
// one letter, or one in three of a longer word. Otherwise it is "". Capitals do not count. Of two equally close the
// first wins.
func Nearest(written string, words []string) string {
	letters := []rune(strings.ToLower(written))
	if len(letters) > longest {
		return ""
	}
	best, least := "", 1+max(1, len(letters)/3)
	for _, word := range words {
		if n := edits(letters, []rune(strings.ToLower(word))); n < least {
			best, least = word, n
		}
	}
	return best
}

// Slips counts the letters to add, drop or change, or neighbours to swap, to turn one word into another.
func Slips(written, word string) int { return edits([]rune(written), []rune(word)) }

// edits counts the letters to add, drop or change, or neighbours to swap, to turn a into b (optimal string alignment).
func edits(a, b []rune) int {
	before, row := make([]int, len(b)+1), make([]int, len(b)+1)
	var last []int
	for j := range row {
		row[j] = j
	}
	for i := range a {
		last, before, row = before, row, make([]int, len(b)+1)
		row[0] = i + 1
		for j := range b {
			change := 1
			if a[i] == b[j] {
				change = 0
			}
			row[j+1] = min(before[j+1]+1, row[j]+1, before[j]+change)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], last[j-1]+1)
			}
		}
	}
	return row[len(b)]
}
