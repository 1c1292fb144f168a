package sitefile

import (
	"encoding"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"ullage/harness/spelling"
)

// Setting changes one value of a site: Path walks the keys of the site file and the names in its lists,
// "tanks/header-tank/starts", "controller/settings/fill/longest-run"; Text is what would stand there.
type Setting struct{ Path, Text string }

// Apply changes the site. The error says which part of the path does not exist or what is wrong with the text. Lists
// and rules that the site file leaves out are not created. What follows from the change is filled in, and whether the
// site still makes sense is judged, by Check.
func (s Setting) Apply(site *Site) error {
	v, f := reflect.ValueOf(site).Elem(), field{}
	for _, key := range strings.Split(s.Path, "/") {
		next, inner, found, valid := child(v, key)
		if !found {
			near := ""
			if n := spelling.Nearest(key, valid); n != "" {
				near = fmt.Sprintf("; the nearest is %q", n)
			}
			return fmt.Errorf("the site %q has no %q in %q%s", site.Name, key, s.Path, near)
		}
		v, f = next, inner
	}
	if u, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
		return u.UnmarshalText([]byte(s.Text))
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(s.Text)
		return nil
	case reflect.Int:
		n, err := strconv.Atoi(s.Text)
		if err != nil {
			return fmt.Errorf("%s: read %q; expected %s", s.Path, s.Text, f.describe())
		}
		v.SetInt(int64(n))
		return nil
	case reflect.Float64:
		n, err := strconv.ParseFloat(s.Text, 64)
		if err != nil {
			return fmt.Errorf("%s: read %q; expected %s", s.Path, s.Text, f.describe())
		}
		v.SetFloat(n)
		return nil
	}
	return fmt.Errorf("%q is not a single value of the site file", s.Path)
}

// child is the field with a key, or the entry of a list with a name or, when it has none, a number. valid is what could
// have been asked for.
func child(v reflect.Value, key string) (next reflect.Value, f field, found bool, valid []string) {
	if v.Kind() == reflect.Pointer && !v.IsNil() {
		v = v.Elem()
	}
	if _, single := v.Addr().Interface().(amount); single {
		return v, f, false, nil
	}
	switch v.Kind() {
	case reflect.Slice:
		for i := range v.Len() {
			name := label(v.Index(i), i)
			if name == key {
				return v.Index(i), field{typ: v.Type().Elem()}, true, nil
			}
			valid = append(valid, name)
		}
	case reflect.Struct:
		for _, f := range fieldsOf(v.Type()) {
			if f.key == key {
				return v.FieldByIndex(f.index), f, true, nil
			}
			valid = append(valid, f.key)
		}
	}
	return v, f, false, valid
}
