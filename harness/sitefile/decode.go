package sitefile

import (
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"ullage/harness/spelling"
)

// spot is where a value stands in the file, and how it is written.
type spot struct {
	line, column int
	read         string
}

// reader decodes one file. It goes on after a mistake, and remembers where everything stands, so that what is checked
// later can point at the value in question.
type reader struct {
	file     string
	kind     string       // of file, as messages call it
	whole    reflect.Type // what the file is read into
	lines    []string
	spots    map[any]spot // by pointer to the value; two values at one address differ in type
	broken   map[any]bool // values that could not be read
	mistakes Mistakes
}

func newReader(file string, text []byte) *reader {
	return &reader{file: file, kind: "a site file", whole: reflect.TypeFor[Site](),
		lines: strings.Split(string(text), "\n"), spots: map[any]spot{}, broken: map[any]bool{}}
}

// mistake notes a mistake at a place. A place just past the end of its line, where a value is missing, stays in the
// line.
func (r *reader) mistake(s spot, m Mistake) {
	if s.line > 0 {
		s.line = min(s.line, len(r.lines))
		s.column = r.found(s)
	}
	m.File, m.Line, m.Column = r.file, s.line, s.column
	m.Excerpt = excerpt(r.lines, s.line, s.column)
	if m.Read == "" {
		m.Read = s.read
	}
	r.mistakes = append(r.mistakes, m)
}

// found is the column of a spot, within its line. The YAML library puts a number with blanks behind it too far to the
// right by their count; then what was read stands a little before.
func (r *reader) found(s spot) int {
	line := []rune(r.lines[s.line-1])
	column := min(max(s.column, 1), len(line)+1)
	read, err := strconv.Unquote(s.read)
	there := string(line[column-1:])
	if err != nil || strings.HasPrefix(there, read) || strings.HasPrefix(strings.TrimLeft(there, "\"'"), read) {
		return column
	}
	end := min(column-1+len([]rune(read)), len(line))
	if i := strings.LastIndex(string(line[:end]), read); i >= 0 {
		return len([]rune(string(line[:end])[:i])) + 1
	}
	return column
}

// sorted puts the mistakes in the order of their places.
func (r *reader) sorted() *Mistakes {
	sort.SliceStable(r.mistakes, func(i, j int) bool {
		a, b := r.mistakes[i], r.mistakes[j]
		return a.Line < b.Line || a.Line == b.Line && a.Column < b.Column
	})
	return &r.mistakes
}

// spotOf is the place of a node. The place of a block of keys is that of its first key.
func spotOf(node ast.Node) spot {
	switch n := node.(type) {
	case *ast.MappingNode:
		if !n.IsFlowStyle && len(n.Values) > 0 {
			return spot{at(n.Values[0].Key.GetToken()).line, at(n.Values[0].Key.GetToken()).column, "a set of keys"}
		}
		return spot{at(n.Start).line, at(n.Start).column, "a set of keys"}
	case *ast.SequenceNode:
		return spot{at(n.Start).line, at(n.Start).column, "a list"}
	case *ast.NullNode:
		s := at(n.GetToken())
		s.read = "nothing"
		return s
	case *ast.LiteralNode:
		s := at(n.Start)
		s.read = spelling.Quote(n.Value.Value)
		return s
	}
	return at(node.GetToken())
}

func at(t *token.Token) spot {
	if t == nil || t.Position == nil {
		return spot{line: 1, column: 1, read: "nothing"}
	}
	return spot{t.Position.Line, t.Position.Column, spelling.Quote(t.Value)}
}

// decode reads a node into v, which must be addressable.
func (r *reader) decode(node ast.Node, v reflect.Value, f field, path string) {
	here, pointer := spotOf(node), v.Addr().Interface()
	r.spots[pointer] = here
	refuse := func(m Mistake) {
		m.Path = path
		r.broken[pointer] = true
		r.mistake(here, m)
	}
	switch node.(type) {
	case *ast.AnchorNode, *ast.AliasNode, *ast.TagNode:
		refuse(Mistake{Why: "anchors (&), aliases (*) and tags (!) are not used in site files", Expected: f.describe()})
		return
	case *ast.NullNode:
		refuse(Mistake{Expected: f.expected()})
		return
	}
	if text, ok := pointer.(encoding.TextUnmarshaler); ok {
		written, ok := scalar(node)
		if !ok {
			refuse(Mistake{Expected: f.describe()})
		} else if err := text.UnmarshalText([]byte(written)); err != nil {
			refuse(reason(err))
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		r.decode(node, v.Elem(), f, path)
	case reflect.Struct:
		mapping, ok := node.(*ast.MappingNode)
		if !ok {
			refuse(Mistake{Expected: f.describe()})
			return
		}
		r.decodeStruct(mapping, v, path)
	case reflect.Slice:
		sequence, ok := node.(*ast.SequenceNode)
		if !ok {
			refuse(Mistake{Expected: f.describe()})
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), len(sequence.Values), len(sequence.Values)))
		for i, entry := range sequence.Values {
			r.decode(entry, v.Index(i), field{key: f.key, typ: v.Type().Elem()}, path+"/"+strconv.Itoa(i+1))
		}
	default:
		if err := setScalar(node, v, f); err != nil {
			refuse(Mistake{Why: err.Error(), Expected: f.describe()})
		}
	}
}

// reason turns the error of a quantity, `"2.4 br": unknown unit; expected a pressure`, into a mistake.
func reason(err error) Mistake {
	if inner := errors.Unwrap(err); inner != nil {
		err = inner
	}
	if why, expected, ok := strings.Cut(err.Error(), "; expected "); ok {
		return Mistake{Why: why, Expected: expected}
	}
	return Mistake{Why: err.Error()}
}

// scalar is the text of a plain or quoted value as it is written.
func scalar(node ast.Node) (string, bool) {
	switch n := node.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return n.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode:
		return n.GetToken().Value, true
	}
	return "", false
}

// errPlain is a scalar of another type; the description of the field says all.
var errPlain = errors.New("")

func setScalar(node ast.Node, v reflect.Value, f field) error {
	written, ok := scalar(node)
	if !ok {
		return errPlain
	}
	switch v.Kind() {
	case reflect.String:
		switch node.(type) {
		case *ast.IntegerNode, *ast.FloatNode:
			return errors.New("a number; write a text of digits in quotes")
		}
		v.SetString(written)
		return nil
	case reflect.Int:
		n, err := strconv.Atoi(written)
		if _, whole := node.(*ast.IntegerNode); err != nil || !whole {
			return errPlain
		}
		v.SetInt(int64(n))
		return nil
	case reflect.Float64:
		n, err := strconv.ParseFloat(written, 64)
		if _, text := node.(*ast.StringNode); err != nil || text {
			return errPlain
		}
		v.SetFloat(n)
		return nil
	}
	panic("sitefile: no way to read a " + v.Kind().String())
}

// decodeStruct reads the keys of a mapping: each at most once, none that is unknown, all that are required.
func (r *reader) decodeStruct(mapping *ast.MappingNode, v reflect.Value, path string) {
	fields := fieldsOf(v.Type())
	lines := make([]int, len(fields)) // where each key was given; 0: nowhere
	var given map[string]bool         // every key that was given, made for the first that is unknown
	for _, entry := range mapping.Values {
		here := at(entry.Key.GetToken())
		key := entry.Key.GetToken().Value
		i := indexOf(fields, key)
		if _, plain := entry.Key.(*ast.StringNode); i < 0 || !plain {
			expected := "one of the keys " + strings.Join(keysOf(v.Type()), ", ")
			near := spelling.Nearest(key, keysOf(v.Type()))
			if near != "" {
				expected += "; the nearest is " + near
			}
			r.mistake(here, Mistake{Path: path, Why: "unknown key", Expected: expected})
			if given == nil {
				given = keysGiven(mapping)
			}
			if near == "" || given[near] {
				continue
			}
			key, i = near, indexOf(fields, near) // read on as what was meant, so that nothing else seems to be missing
		}
		if lines[i] > 0 {
			r.mistake(here, Mistake{Path: path, Why: fmt.Sprintf("the key was given in line %d already", lines[i]),
				Expected: "each key once"})
			continue
		}
		lines[i] = here.line
		r.decode(entry.Value, v.FieldByIndex(fields[i].index), fields[i], strings.TrimPrefix(path+"/"+key, "/"))
	}
	for i, f := range fields {
		if lines[i] == 0 && f.required {
			r.broken[v.FieldByIndex(f.index).Addr().Interface()] = true
			r.mistake(spotOf(mapping), Mistake{Path: path, Read: "nothing for " + strconv.Quote(f.key),
				Expected: f.expected()})
		}
	}
}

// indexOf is the place of a key among fields, or -1.
func indexOf(fields []field, key string) int {
	return slices.IndexFunc(fields, func(f field) bool { return f.key == key })
}

func keysGiven(mapping *ast.MappingNode) map[string]bool {
	given := map[string]bool{}
	for _, entry := range mapping.Values {
		given[entry.Key.GetToken().Value] = true
	}
	return given
}

func contains(list []string, text string) bool {
	for _, l := range list {
		if l == text {
			return true
		}
	}
	return false
}
