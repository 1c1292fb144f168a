package sitefile

import "strings"

// Nearest is the word of the list that is closest to what was written, if it is close enough to be a slip of the hand;
// else "". Capitals do not count. Of two equally close the first wins.
func Nearest(written string, list []string) string {
	best, least := "", 1+max(1, len([]rune(written))/3)
	if len(written) > 64 {
		return ""
	}
	for _, word := range list {
		if n := edits([]rune(strings.ToLower(written)), []rune(strings.ToLower(word))); n < least {
			best, least = word, n
		}
	}
	return best
}

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
