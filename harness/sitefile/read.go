package sitefile

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"ullage/harness/spelling"
	"ullage/harness/textfile"
)

// largest is the size of a file that is read at all, in bytes: forty times the largest shipped site.
const largest = 256 << 10

// deepest is how many brackets may be open at once; the format needs five.
const deepest = 100

// Read reads a site file. The name is used in messages only. Reading is strict, and every mistake of the file is
// reported in one go: the error is a *Mistakes. What the file may leave out is filled in (see FillDefaults).
func Read(name string, text []byte) (*Site, error) {
	text = lineEnds.ReplaceAll(bytes.TrimPrefix(text, []byte("\ufeff")), []byte("\n"))
	r := newReader(name, text)
	site := new(Site)
	if root := r.parse(text); root != nil {
		r.decode(root, reflect.ValueOf(site).Elem(), field{typ: reflect.TypeFor[Site]()}, "")
		(&checker{site: site, reader: r}).run()
	}
	if len(r.mistakes) > 0 {
		return nil, r.sorted()
	}
	return site, nil
}

// lineEnds are the line ends of other systems, which the YAML library counts in a way of its own.
var lineEnds = regexp.MustCompile(`\r\n?`)

// Check finds what is wrong with a site that was changed after it was read, and fills in what follows from the change.
// The error is a *Mistakes whose entries have a path and no line.
func (s *Site) Check() error {
	r := newReader(s.Name, nil)
	(&checker{site: s, reader: r}).run()
	if len(r.mistakes) > 0 {
		return &r.mistakes
	}
	return nil
}

// parse returns the one document of the file, or nil after a mistake.
func (r *reader) parse(text []byte) (root ast.Node) {
	top := spot{line: 1, column: 1, read: "a file"}
	f, foreign := textfile.NotUTF8(text)
	switch {
	case len(text) > largest:
		r.mistake(top, Mistake{Why: fmt.Sprintf("it is larger than %d bytes", largest), Expected: r.kind})
		return nil
	case foreign:
		r.lines = strings.Split(string(textfile.Latin1(text)), "\n") // as its writer sees them
		r.mistake(spot{line: f.Line, column: f.Column, read: f.Word}, Mistake{Why: f.Why,
			Expected: r.kind + ", saved as UTF-8"})
		return nil
	case depth(text) > deepest:
		r.mistake(top, Mistake{Why: fmt.Sprintf("more than %d brackets are open at once", deepest), Expected: r.kind})
		return nil
	}
	defer func() {
		if recover() != nil { // a defect of the YAML library shall not end a run
			r.mistake(top, Mistake{Why: "it cannot be taken apart as YAML", Expected: r.kind})
			root = nil
		}
	}()
	file, err := parser.ParseBytes(text, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		var syntax yaml.Error
		if errors.As(err, &syntax) {
			here := at(syntax.GetToken())
			here.read = r.rest(here)
			r.mistake(here, Mistake{Why: "this is not valid YAML: " +
				strings.ReplaceAll(syntax.GetMessage(), "\t", "tab")})
			return nil
		}
		r.mistake(top, Mistake{Why: err.Error(), Expected: "YAML"})
		return nil
	}
	for _, doc := range file.Docs {
		switch {
		case doc.Body == nil:
		case root != nil:
			r.mistake(spotOf(doc.Body), Mistake{Why: "a second document", Expected: "one document in one file"})
		default:
			root = doc.Body
		}
	}
	if root == nil {
		r.mistake(spot{line: 1, column: 1, read: "nothing"}, Mistake{Expected: field{typ: r.whole}.describe()})
	}
	return root
}

// rest is what stands in the line from a place on.
func (r *reader) rest(from spot) string {
	if from.line > len(r.lines) {
		return "nothing"
	}
	line := []rune(r.lines[from.line-1])
	return spelling.Quote(strings.TrimSpace(string(line[min(from.column-1, len(line)):])))
}

// depth is the greatest number of brackets that are open at once, or of lists that begin on one line: what a parser by
// recursive descent would follow down.
func depth(text []byte) int {
	open, dashes, most := 0, 0, 0
	for i, b := range text {
		switch {
		case b == '[' || b == '{':
			open++
		case (b == ']' || b == '}') && open > 0:
			open--
		case b == '\n':
			dashes = 0
		case (b == '-' || b == '?' || b == ':') && i+1 < len(text) && text[i+1] == ' ':
			dashes++
		}
		most = max(most, open, dashes/2)
	}
	return most
}
