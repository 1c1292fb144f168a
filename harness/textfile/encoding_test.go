package textfile_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/textfile"
)

func TestNotUTF8(t *testing.T) {
	for text, want := range map[string]textfile.Foreign{
		"G\xe4rten": {Line: 1, Column: 2, Word: "Gärten", Why: "it is not UTF-8 text, but Latin-1 or the like"},
		"ä\nthe ö \"gr\xfcn\" one\r\n": {Line: 2, Column: 10, Word: "grün",
			Why: "it is not UTF-8 text, but Latin-1 or the like"},
		"a\x00b\n\x00": {Line: 1, Column: 1, Word: "zero bytes", Why: "it is UTF-16 or no text at all"},
		"\xff\xfe":     {Line: 1, Column: 1, Word: "zero bytes", Why: "it is UTF-16 or no text at all"},
	} {
		got, ok := textfile.NotUTF8([]byte(text))
		assert.True(t, ok, "%q", text)
		assert.Equal(t, want, got, "%q", text)
	}
	for _, text := range []string{"", "Gärten", "\ufeffsite: \ufffd"} {
		_, ok := textfile.NotUTF8([]byte(text))
		assert.False(t, ok, "%q is UTF-8", text)
	}
}
