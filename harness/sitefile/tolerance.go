package sitefile

import (
	"reflect"

	q "ullage/harness/quantity"
)

// Toleranced is one value of a site that was given with a tolerance.
type Toleranced struct {
	Path  string      // keys and names that lead there: "contacts/tank-low/operates"
	Dim   q.Dimension // of Value
	Value *q.Value    // the value in the site; setting it changes the site
}

// Tolerances lists each value of the site that carries a tolerance, in the order of the fields of Site and of the file's
// lists. Settings are exact and never among them.
func (s *Site) Tolerances() []Toleranced {
	var list []Toleranced
	walk(reflect.ValueOf(s).Elem(), field{}, "", func(v reflect.Value, _ field, path string) {
		if a, ok := v.Addr().Interface().(amount); ok && a.High() > a.Low() {
			list = append(list, Toleranced{path, a.Dimension(), v.FieldByName("Value").Addr().Interface().(*q.Value)})
		}
	})
	return list
}

// Corner is the site with each of its toleranced values at one end of its band: signs, in the order of Tolerances, are
// -1 for the lower end, +1 for the upper and 0 for the value itself; those that are left out are 0. In the corner these
// values are exact. The site itself does not change.
func Corner(site *Site, signs ...int) *Site {
	corner := site.Copy()
	for i, t := range corner.Tolerances() {
		if i < len(signs) && signs[i] < 0 {
			t.Value.SI = t.Value.Low()
		}
		if i < len(signs) && signs[i] > 0 {
			t.Value.SI = t.Value.High()
		}
		t.Value.Tolerance = 0
	}
	corner.FillDefaults()
	return corner
}

// Copy is a site that shares nothing with the first.
func (s *Site) Copy() *Site {
	made := *s
	separate(reflect.ValueOf(&made).Elem())
	return &made
}

// separate gives v its own copies of what it refers to.
func separate(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			made := reflect.New(v.Type().Elem())
			made.Elem().Set(v.Elem())
			v.Set(made)
			separate(made.Elem())
		}
	case reflect.Slice:
		if !v.IsNil() {
			made := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
			reflect.Copy(made, v)
			v.Set(made)
			for i := range v.Len() {
				separate(v.Index(i))
			}
		}
	case reflect.Struct:
		if _, ok := dimensionOf(v.Type()); ok {
			return
		}
		for i := range v.NumField() {
			separate(v.Field(i))
		}
	}
}
