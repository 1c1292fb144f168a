package scenarios

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	tagexpressions "github.com/cucumber/tag-expressions/go/v6"

	"ullage/harness/spelling"
)

// tagSyntax is what is expected of a tag expression.
const tagSyntax = "expected tags joined by and, or, not and parentheses, as in @a and not (@b or @c)"

var (
	tagWords   = regexp.MustCompile(`[^\s()]+`)
	operators  = []string{"and", "or", "not"}
	oldFilter  = regexp.MustCompile(`&&|~|,`)
	oldMeaning = strings.NewReplacer("&&", " and ", "~", " not ", ",", " or ")
)

// parseTags reads a tag expression over scenarios that bear the given tags. A tag that none of them has is an error.
func parseTags(text string, known []string) (tagexpressions.Evaluatable, error) {
	if oldFilter.MatchString(text) {
		return nil, fmt.Errorf("tags %q: &&, ~ and the comma are no longer understood; write %q", text,
			strings.Join(strings.Fields(oldMeaning.Replace(text)), " "))
	}
	words := tagWords.FindAllString(text, -1)
	for _, word := range words {
		if !slices.Contains(operators, word) && !strings.HasPrefix(word, "@") {
			return nil, fmt.Errorf("tags %q: read %q; %s", text, word, tagSyntax)
		}
	}
	if n := len(words); n > 0 && slices.Contains(operators, words[n-1]) { // on which the parser panics
		return nil, fmt.Errorf("tags %q: nothing stands after %q; %s", text, words[n-1], tagSyntax)
	}
	expr, err := tagexpressions.Parse(text)
	if err != nil {
		return nil, fmt.Errorf("tags %q cannot be read; %s", text, tagSyntax)
	}
	for _, word := range words {
		if slices.Contains(operators, word) || slices.Contains(known, word) {
			continue
		}
		hint := ""
		if near := spelling.Nearest(word, known); near != "" {
			hint = "; did you mean " + near + "?"
		}
		return nil, fmt.Errorf("no scenario has the tag %s%s", word, hint)
	}
	return expr, nil
}
