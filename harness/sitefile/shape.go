package sitefile

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"sync"

	q "ullage/harness/quantity"
	"ullage/harness/spelling"
)

// amount is what every quantity of the file can do, whatever its dimension.
type amount interface {
	IsSet() bool
	String() string
	Low() float64
	High() float64
	Dimension() q.Dimension
}

// field is one key of a struct of the site file.
type field struct {
	key             string
	owner           reflect.Type // struct that declares it; another than the one asked for when it is embedded
	name            string       // of the field in owner
	index           []int        // for FieldByIndex
	typ             reflect.Type
	required        bool
	limits          string   // "1 mm to 20 m": least and greatest value; "" without
	least, greatest float64  // limits in SI
	choices         []string // the texts that it takes; nil without
}

// shapes keeps what fieldsOf has found, by type.
var shapes sync.Map

// fieldsOf lists the keys of a struct, those of embedded structs in their place.
func fieldsOf(t reflect.Type) []field {
	if known, ok := shapes.Load(t); ok {
		return known.([]field)
	}
	var list []field
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() {
			continue
		}
		if f.Anonymous {
			for _, inner := range fieldsOf(f.Type) {
				inner.index = append([]int{i}, inner.index...)
				list = append(list, inner)
			}
			continue
		}
		key, options, _ := strings.Cut(f.Tag.Get("yaml"), ",")
		made := field{key: key, owner: t, name: f.Name, index: []int{i}, typ: f.Type, required: options != "omitempty",
			limits: f.Tag.Get("range")}
		if made.limits != "" {
			least, greatest, _ := strings.Cut(made.limits, " to ")
			made.least, made.greatest = made.number(least), made.number(greatest)
		}
		if choices := f.Tag.Get("enum"); choices != "" {
			made.choices = strings.Split(choices, ",")
		}
		list = append(list, made)
	}
	shapes.Store(t, list)
	return list
}

func keysOf(t reflect.Type) []string {
	var keys []string
	for _, f := range fieldsOf(t) {
		keys = append(keys, f.key)
	}
	return keys
}

// number reads one end of a range. A range that cannot be read is a mistake of the program and panics.
func (f field) number(text string) float64 {
	if dim, ok := dimensionOf(f.typ); ok {
		v, err := q.Parse(text, dim)
		if err != nil {
			panic(fmt.Sprintf("sitefile: range of %s: %v", f.key, err))
		}
		return v.SI
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("sitefile: range of %s: %v", f.key, err))
	}
	return n
}

// dimensionOf says what a field of the type measures, if it is a quantity.
func dimensionOf(t reflect.Type) (q.Dimension, bool) {
	if a, ok := reflect.Zero(t).Interface().(amount); ok {
		return a.Dimension(), true
	}
	return q.None, false
}

// describe says what to write for a value of the type.
func (f field) describe() string {
	if dim, ok := dimensionOf(f.typ); ok {
		return spelling.Article(q.Name(dim)) + ", e.g. " + q.Examples(dim)
	}
	switch t := f.typ; {
	case f.choices != nil:
		return oneOf(f.choices)
	case t.Kind() == reflect.Int:
		return "a whole number"
	case t.Kind() == reflect.Float64:
		return "a number"
	case t.Kind() == reflect.String:
		return "a text"
	case t.Kind() == reflect.Slice && t.Elem().Kind() == reflect.String:
		return "a list of texts, e.g. [first, second]"
	case t.Kind() == reflect.Slice:
		return "a list, each entry with the keys " + strings.Join(keysOf(t.Elem()), ", ")
	case t.Kind() == reflect.Pointer:
		return "the keys " + strings.Join(keysOf(t.Elem()), ", ")
	default:
		return "the keys " + strings.Join(keysOf(t), ", ")
	}
}

// oneOf lists choices as a sentence does: "open or closed".
func oneOf(choices []string) string {
	if len(choices) < 2 {
		return strings.Join(choices, "")
	}
	return strings.Join(choices[:len(choices)-1], ", ") + " or " + choices[len(choices)-1]
}

// walk visits every value of the site below v, structs and lists before what is in them, with the keys and names that
// lead there. Rules and lists that were left out are not visited.
func walk(v reflect.Value, f field, path string, visit func(v reflect.Value, f field, path string)) {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return
		}
		v = v.Elem()
	}
	visit(v, f, path)
	switch {
	case v.Kind() == reflect.Slice:
		for i := range v.Len() {
			walk(v.Index(i), field{key: f.key, typ: v.Type().Elem()}, path+"/"+label(v.Index(i), i), visit)
		}
	case v.Kind() == reflect.Struct:
		if _, ok := dimensionOf(v.Type()); ok {
			return
		}
		for _, f := range fieldsOf(v.Type()) {
			walk(v.FieldByIndex(f.index), f, strings.TrimPrefix(path+"/"+f.key, "/"), visit)
		}
	}
}

// label is the name of an entry of a list, or its number from 1 when it has none.
func label(v reflect.Value, i int) string {
	if v.Kind() == reflect.Struct {
		if name := v.FieldByName("Name"); name.IsValid() && name.String() != "" {
			return name.String()
		}
	}
	return strconv.Itoa(i + 1)
}
