package console_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/console"
)

func TestText(t *testing.T) {
	assert.Equal(t, "a long na…", console.Cut("a long name", 10))
	assert.Equal(t, "水水…", console.Cut("水水水", 5), "wide characters take two columns")
	assert.Equal(t, []string{"one two", "  three"}, console.Fold("one two three", 9))
	assert.Equal(t, []string{"  one"[2:], "  Donaud…"}, console.Fold("one Donaudampfer", 9))
	assert.Equal(t, "水  |", console.PadRight("水", 4)+"|", "wide characters take two columns")
	assert.Equal(t, "a b ␛", console.Clean("a\tb \x1b"), "a name moves the cursor of the terminal")
	for word, want := range map[string]string{"a.feature:3": "a.feature:3", "my site.yaml": "'my site.yaml'", "it's": `'it'\''s'`, "": "''", "$(rm)": "'$(rm)'"} {
		assert.Equal(t, want, console.ShellWord(word))
	}
}

func TestSheet(t *testing.T) {
	s := console.NewSheet(10, true)
	assert.Equal(t, 60, s.Width, "a narrower sheet holds no table")
	s.Line(s.Mark(console.Bold, "head") + "  ")
	s.Note("  ", "one\ntwo")
	var b bytes.Buffer
	require.NoError(t, s.Print(&b))
	assert.Equal(t, "\x1b[1mhead\x1b[0m\n  one\n  two\n", b.String())
}
