package spelling

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestArticle(t *testing.T) {
	for noun, want := range map[string]string{"tank": "a tank", "outlet": "an outlet", "": "a "} {
		assert.Equal(t, want, Article(noun))
	}
}

func TestCount(t *testing.T) {
	for n, want := range map[int]string{0: "0 errors", 1: "1 error", 2: "2 errors"} {
		assert.Equal(t, want, Count(n, "error"))
	}
}

func TestQuote(t *testing.T) {
	assert.Equal(t, `"a \"b\"\n"`, Quote("a \"b\"\n"))
	assert.Equal(t, `"`+strings.Repeat("ä", 100)+`"`, Quote(strings.Repeat("ä", 100)))
	assert.Equal(t, `"`+strings.Repeat("ä", 100)+`…"`, Quote(strings.Repeat("ä", 101)),
		"what is too long must be cut between characters")
}
