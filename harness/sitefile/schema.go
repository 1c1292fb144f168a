package sitefile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	q "ullage/harness/quantity"
)

// Version is that of the format of site files: it changes when a file that was valid is valid no longer.
const Version = 1

// Schema is the JSON Schema (draft 2020-12) of the site file, the same bytes each time. It knows keys, types, units and
// choices; Read remains the judge of sense.
func Schema() ([]byte, error) {
	s := schema{seen: map[reflect.Type]bool{}}
	s.define(reflect.TypeFor[Site]())
	root := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"title", "Site file"},
		{"$ref", "#/$defs/Site"},
		{"$defs", append(s.definitions, s.quantities...)},
	}
	compact, err := json.Marshal(root)
	if err != nil {
		return nil, fmt.Errorf("sitefile: the schema: %w", err)
	}
	var indented bytes.Buffer
	if err := json.Indent(&indented, compact, "", "  "); err != nil {
		return nil, fmt.Errorf("sitefile: the schema: %w", err)
	}
	indented.WriteByte('\n')
	return indented.Bytes(), nil
}

// object is a JSON object that keeps the order of its members.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	for i, m := range o {
		b.WriteByte("{,"[min(i, 1)])
		key, err := json.Marshal(m.key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	if len(o) == 0 {
		b.WriteByte('{')
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

type schema struct {
	definitions object // of structs
	quantities  object
	seen        map[reflect.Type]bool
}

// define adds the definition of a struct and, behind it, those of the structs in it.
func (s *schema) define(t reflect.Type) {
	if s.seen[t] {
		return
	}
	s.seen[t] = true
	var properties object
	var required []string
	var inner []reflect.Type
	for _, f := range fieldsOf(t) {
		if f.required {
			required = append(required, f.key)
		}
		properties = append(properties, member{f.key, s.property(f)})
		if e := element(f.typ); e.Kind() == reflect.Struct {
			if _, ok := dimensionOf(e); !ok {
				inner = append(inner, e)
			}
		}
	}
	definition := object{
		{"type", "object"},
		{"description", described(t.Name())},
		{"additionalProperties", false},
		{"properties", properties},
	}
	if required != nil {
		definition = append(definition, member{"required", required})
	}
	if t == reflect.TypeFor[Terminal]() {
		definition = append(definition, member{"oneOf", onlyOne(properties[1:])})
	}
	s.definitions = append(s.definitions, member{t.Name(), definition})
	for _, e := range inner {
		s.define(e)
	}
}

// onlyOne demands one key of several.
func onlyOne(keys object) (alternatives []object) {
	for _, k := range keys {
		alternatives = append(alternatives, object{{"required", []string{k.key}}})
	}
	return alternatives
}

// element is what a list or a rule that may be left out is made of.
func element(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t
}

// property is the schema of one key.
func (s *schema) property(f field) object {
	text, more := f.meaning()
	text = strings.ToUpper(text[:1]) + text[1:]
	if f.limits != "" {
		text += "; " + f.limits
	}
	text += "."
	if more != "" {
		text += " " + more
	}
	made := append(object{{"description", text}}, s.typed(f.typ)...)
	if f.choices != nil {
		made = append(made, member{"enum", f.choices})
	}
	if kind := f.typ.Kind(); f.limits != "" && (kind == reflect.Int || kind == reflect.Float64) {
		made = append(made, member{"minimum", f.least}, member{"maximum", f.greatest})
	}
	return made
}

func (s *schema) typed(t reflect.Type) object {
	if dim, ok := dimensionOf(t); ok {
		name := strings.ReplaceAll(q.Name(dim), " ", "-")
		if !s.seen[t] {
			s.seen[t] = true
			s.quantities = append(s.quantities, member{name,
				object{{"type", "string"}, {"description", q.Description(dim)}, {"pattern", q.Pattern(dim)}}})
		}
		return object{{"$ref", "#/$defs/" + name}}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.typed(t.Elem())
	case reflect.Slice:
		return object{{"type", "array"}, {"items", s.typed(t.Elem())}}
	case reflect.Struct:
		return object{{"$ref", "#/$defs/" + t.Name()}}
	case reflect.Int:
		return object{{"type", "integer"}}
	case reflect.Float64:
		return object{{"type", "number"}}
	}
	return object{{"type", "string"}}
}
