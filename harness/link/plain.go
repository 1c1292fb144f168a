package link

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"ullage/harness/quantity"
)

// suffixes are the units at the end of the keys; a bare number has none.
var suffixes = map[quantity.Dimension]string{
	quantity.Duration:    "_s",
	quantity.Voltage:     "_v",
	quantity.Resistance:  "_ohm",
	quantity.Capacitance: "_f",
	quantity.Fraction:    "_fraction",
}

// written is a quantity of the site file.
type written interface {
	IsSet() bool
	Dimension() quantity.Dimension
}

// plain is a part of the site file as JSON: the keys as they are there with _ for -, quantities as numbers in SI with
// the unit at the end of the key. What is left out there is left out here.
func plain(part any) (json.RawMessage, error) {
	var b bytes.Buffer
	if err := writePlain(&b, reflect.ValueOf(part)); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func writePlain(b *bytes.Buffer, v reflect.Value) error {
	if q, ok := v.Interface().(written); ok && q.IsSet() {
		return writePlain(b, v.FieldByName("SI"))
	}
	switch v.Kind() {
	case reflect.Pointer:
		return writePlain(b, v.Elem())
	case reflect.Slice:
		b.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				b.WriteByte(',')
			}
			if err := writePlain(b, v.Index(i)); err != nil {
				return err
			}
		}
		b.WriteByte(']')
		return nil
	case reflect.Struct:
		b.WriteByte('{')
		next := ""
		for i := range v.NumField() {
			key := plainKey(v.Type().Field(i))
			if leftOut(v.Field(i), v.Type().Field(i)) {
				continue
			}
			fmt.Fprintf(b, "%s%q:", next, key)
			next = ","
			if err := writePlain(b, v.Field(i)); err != nil {
				return err
			}
		}
		b.WriteByte('}')
		return nil
	}
	text, err := new(writer).line(v.Interface())
	b.Write(text)
	return err
}

// plainKey is the key of a field.
func plainKey(f reflect.StructField) string {
	key, _, _ := strings.Cut(f.Tag.Get("yaml"), ",")
	key = strings.ReplaceAll(key, "-", "_")
	if q, ok := reflect.Zero(f.Type).Interface().(written); ok {
		return key + suffixes[q.Dimension()]
	}
	return key
}

// leftOut reports whether the site file leaves a field out.
func leftOut(v reflect.Value, f reflect.StructField) bool {
	if q, ok := v.Interface().(written); ok {
		return !q.IsSet()
	}
	empty := v.IsZero() || v.Kind() == reflect.Slice && v.Len() == 0
	_, options, _ := strings.Cut(f.Tag.Get("yaml"), ",")
	return empty && (v.Kind() == reflect.Pointer || v.Kind() == reflect.Slice || options == "omitempty")
}

// fromPlain reads what plain has written. Keys that it does not know are passed over, as the package comment asks for.
func fromPlain(text json.RawMessage, into any) error {
	return readPlain(text, reflect.ValueOf(into).Elem(), false)
}

// readPlain reads a part. Keys that it does not know are refused when it is strict.
func readPlain(text json.RawMessage, v reflect.Value, strict bool) error {
	if _, ok := v.Interface().(written); ok {
		var si float64
		if err := json.Unmarshal(text, &si); err != nil {
			return err
		}
		// With(value, tolerance) makes a quantity that is set.
		v.Set(v.MethodByName("With").Call([]reflect.Value{reflect.ValueOf(si), reflect.ValueOf(0.0)})[0])
		return nil
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return readPlain(text, v.Elem(), strict)
	case reflect.Slice:
		var parts []json.RawMessage
		if err := json.Unmarshal(text, &parts); err != nil {
			return err
		}
		v.Set(reflect.MakeSlice(v.Type(), len(parts), len(parts)))
		for i, part := range parts {
			if err := readPlain(part, v.Index(i), strict); err != nil {
				return err
			}
		}
		return nil
	case reflect.Struct:
		var parts map[string]json.RawMessage
		if err := json.Unmarshal(text, &parts); err != nil {
			return err
		}
		for i := range v.NumField() {
			key := plainKey(v.Type().Field(i))
			if part, ok := parts[key]; ok {
				delete(parts, key)
				if err := readPlain(part, v.Field(i), strict); err != nil {
					return fmt.Errorf("%s: %w", key, err)
				}
			}
		}
		for _, key := range slices.Sorted(maps.Keys(parts)) {
			if strict {
				return fmt.Errorf("there is no key %q", key)
			}
		}
		return nil
	}
	return json.Unmarshal(text, v.Addr().Interface())
}
