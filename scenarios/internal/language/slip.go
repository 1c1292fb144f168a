package language

import (
	"regexp"
	"strings"
)

// slips are ways of writing that no phrase has and that are hard to see in a step that almost fits.
var slips = []struct {
	seen *regexp.Regexp
	hint string
}{
	{regexp.MustCompile(`[0-9],[0-9]`), "figures have a decimal point and nothing between thousands"},
	{regexp.MustCompile(`[“”„‟«»‘’]`), `names stand in straight quotes: "header-tank"`},
	{regexp.MustCompile(`'[^']+'`), `names stand in double quotes: "header-tank"`},
	{regexp.MustCompile(`\s\s`), "two spaces stand together"},
	{regexp.MustCompile(`[.;!]$`), "a step ends without a full stop"},
	{regexp.MustCompile(`^(The|No|At|It|An?|Rain|Grit|Reports|As) `),
		"after its keyword a step goes on with a small letter"},
}

// slip says what the writer of a step may have overlooked, "" when nothing is seen.
func slip(text string) string {
	var hints []string
	for _, s := range slips {
		if s.seen.MatchString(text) {
			hints = append(hints, s.hint)
		}
	}
	if hints == nil {
		return ""
	}
	return " (" + strings.Join(hints, "; ") + ")"
}
