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
	assert.Equal(t, "a b \\x1b", console.Clean("a\tb \x1b"), "a name moves the cursor of the terminal")
	for word, want := range map[string]string{"a.feature:3": "a.feature:3", "my site.yaml": "'my site.yaml'",
		"it's": `'it'\''s'`, "": "''", "$(rm)": "'$(rm)'"} {
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

// What a terminal would obey is shown in what an Output is given, and a sheet's emphasis alone is sent.
func TestOutput(t *testing.T) {
	write := func(texts ...string) string {
		var got bytes.Buffer
		o := &console.Output{To: &got}
		for _, text := range texts {
			n, err := o.Write([]byte(text))
			assert.NoError(t, err)
			assert.Equal(t, len(text), n)
		}
		assert.NoError(t, o.Err())
		return got.String()
	}
	for text, want := range map[string]string{
		"plain\ttext\n": "plain\ttext\n", "größe 水": "größe 水", "\x1b[31mred": `\x1b[31mred`, "a\rb\a": `a\x0db\x07`, "\u009b2J\x7f": `\u009b2J\u007f`,
		"a\u202eb\u2066": `a\u202eb\u2066`, "\xff\xc3": `\xff\xc3`,
	} {
		assert.Equal(t, want, write(text))
		var bytewise []string
		for i := range len(text) {
			bytewise = append(bytewise, text[i:i+1])
		}
		assert.Equal(t, want, write(bytewise...), "written in single bytes")
	}
	var got bytes.Buffer
	s := console.NewSheet(80, true)
	s.Line(s.Mark(console.Bold, "x\x1b[2J"))
	assert.NoError(t, s.Print(&console.Output{To: &got}))
	assert.Equal(t, "\x1b[1mx\\x1b[2J\x1b[0m\n", got.String())
}
