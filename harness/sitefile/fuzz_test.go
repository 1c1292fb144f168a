package sitefile

import (
	"os"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// smallest is a site of the few keys that every site needs, with one valve.
const smallest = `site: s
supplies: [{name: m, static: 3 bar, residual: 2 bar, at: 25 L/min}]
valves: [{name: v, from: m, capacity: 3 m3/h, opens: 1 s, closes: 1 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}]
outlets: [{name: o, from: v, bore: 12 mm}]
controller:
  supply: 12 V
  resets-below: 8.5 V
  boots: 1.5 s
  board: {rail: 3.3 V, pull-up: 10 kohm, low: 0.8 V, high: 2 V, bits: 12, impedance: 1 Mohm}
  terminals: [{terminal: OUT1, output: v}]
  settings: {remote: {zones: [{zone: v}], longest-run: 15 min}}
`

// strange are values that no site file should hold; at the place of some key each of them is wrong, or barely right.
var strange = []string{"0", "-1", "1e400", "NaN", ".inf", "-0 mm", "3 bar ± 10 %", "3 bar ± 400 %", "1e-300 m", "2 L/h",
	"9223372036854775808", "[]",
	"{}", "~", "&a x", "*a", "!t x", "'", `"\x1b[2J"`, "\x1b", "\u202e", "\x00", "\xff", "\t", "\r", "|\n  x", ">-", "# x", "- - - x", "? x",
	"[[[[[[", "}", "]", ": ", "---\n", "m", "v", "o", "OUT1", "mm", "±", "24:00", strings.Repeat("x", 300)}

// seeds are what edits work on and are made of: the smallest site, cut before and after each of its entries, and
// top-level blocks, keys and values of other small sites.
type seeds struct {
	pieces        []string
	entries       []int // which pieces are entries
	blocks, words []string
}

// entry is one key with a value of one line, as it stands between braces, commas and line ends.
var entry = regexp.MustCompile(`[\w-]+: *[^,{}\[\]\n]*`)

// block is what one key at the left margin holds.
var block = regexp.MustCompile(`(?m)^\w.*\n(?:[ -].*\n)*`)

func readSeeds(t testing.TB) (s seeds) {
	for _, name := range []string{"testdata/good/small.yaml", "testdata/good/small-us.yaml", "testdata/bad/soil.yaml",
		"testdata/bad/power.yaml"} {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, b := range block.FindAllString(string(text), -1) {
			if !strings.HasPrefix(b, "controller:") {
				s.blocks = append(s.blocks, b)
			}
		}
		for _, e := range entry.FindAllString(string(text), -1) {
			key, value, _ := strings.Cut(e, ":")
			s.words = append(s.words, key, strings.TrimSpace(value))
		}
	}
	at := 0
	for _, e := range entry.FindAllStringIndex(smallest, -1) {
		s.entries = append(s.entries, len(s.pieces)+1)
		s.pieces = append(s.pieces, smallest[at:e[0]], smallest[e[0]:e[1]])
		at = e[1]
	}
	s.pieces = append(s.pieces, smallest[at:])
	slices.Sort(s.words)
	s.words = append(slices.Compact(s.words), strange...)
	return s
}

// edit is one change of a site file: which entry, what is done to it, and with which word.
type edit struct {
	entry, how uint8
	word       uint16
}

// text is the smallest site after some edits.
func (s seeds) text(edits ...edit) string {
	pieces := slices.Clone(s.pieces)
	for _, e := range edits {
		piece := &pieces[s.entries[int(e.entry)%len(s.entries)]]
		key, value, _ := strings.Cut(*piece, ":")
		word := s.words[int(e.word)%len(s.words)]
		switch e.how % 8 {
		case 1:
			*piece = key + ": " + word
		case 2:
			*piece = word + ":" + value
		case 3:
			*piece += ", " + word + ": " + value
		case 4:
			*piece = ""
		case 5:
			*piece += word
		case 6:
			pieces = append(pieces, s.blocks[int(e.word)%len(s.blocks)])
		case 7:
			*piece += "\n" + word
		}
	}
	return strings.Join(pieces, "")
}

// FuzzRead reads sites with up to four edits. The edits are numbers: the fuzzer makes small changes of them, which are
// changes of a site's structure, and spends no time on making long texts shorter.
func FuzzRead(f *testing.F) {
	s := readSeeds(f)
	for how := range uint8(8) {
		for word := range uint16(4) {
			f.Add(how, how, 7*word, uint8(0), uint8(0), uint16(0), uint8(0), uint8(0), uint16(0), uint8(0), uint8(0),
				uint16(0))
		}
	}
	for b := range uint16(len(s.blocks)) {
		f.Add(uint8(0), uint8(6), b, uint8(b), uint8(1), 5*b, uint8(0), uint8(6), b+1, uint8(3*b), uint8(1), 9*b)
	}
	debug.SetGCPercent(800)
	f.Fuzz(func(t *testing.T, p1, h1 uint8, w1 uint16, p2, h2 uint8, w2 uint16, p3, h3 uint8, w3 uint16, p4, h4 uint8,
		w4 uint16) {
		readBack(t, s.text(edit{p1, h1, w1}, edit{p2, h2, w2}, edit{p3, h3, w3}, edit{p4, h4, w4}))
	})
}

// TestStrangeValues puts every strange value in the place of every value and every key of the smallest site.
func TestStrangeValues(t *testing.T) {
	s := readSeeds(t)
	_, err := Read("smallest.yaml", []byte(smallest))
	require.NoError(t, err)
	for entry := range s.entries {
		for word := range uint16(len(strange)) {
			word += uint16(len(s.words) - len(strange))
			readBack(t, s.text(edit{uint8(entry), 1, word}))
			readBack(t, s.text(edit{uint8(entry), 2, word}))
		}
	}
}

// readBack checks that a text gives a site without mistakes, or mistakes with places in the text.
func readBack(t *testing.T, text string) {
	site, err := Read("fuzz.yaml", []byte(text))
	if (site == nil) == (err == nil) {
		t.Fatalf("a site and mistakes, or neither: %v\n%s", err, text)
	}
	if err != nil {
		places(t, []byte(text), err)
		return
	}
	if err := site.Check(); err != nil {
		t.Fatalf("a site that was read without a mistake has one when it is checked again: %v\n%s", err, text)
	}
}
