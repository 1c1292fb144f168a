package sitefile

import (
	"reflect"
	"strings"

	q "ullage/harness/quantity"
)

// Toleranced is one value of a site that was given with a tolerance.
type Toleranced struct {
	Path  string      // keys and names that lead there: "contacts/tank-low/operates"
	Dim   q.Dimension // of Value
	Value *q.Value    // the value in the site; setting it changes the site
}

// Tolerances lists each value of the site that carries a tolerance, in the order of the fields of Site and of the
// file's lists. Settings are exact and never among them.
func (s *Site) Tolerances() []Toleranced {
	var list []Toleranced
	walk(reflect.ValueOf(s).Elem(), field{}, "", func(v reflect.Value, _ field, path string) {
		if a, ok := v.Addr().Interface().(amount); ok && a.High() > a.Low() {
			list = append(list, Toleranced{path, a.Dimension(), v.FieldByName("Value").Addr().Interface().(*q.Value)})
		}
	})
	return list
}

// Corner is a limit of the tolerances of a site: a choice among the ends of each.
type Corner struct {
	Text  string // "tank-low operates 240 mm, tank-high operates 730 mm"
	Signs []int  // in the order of Tolerances: -1 the lower end, +1 the upper, 0 the value itself
}

// mostCombined is the number of tolerances up to which every combination of their ends is a corner.
const mostCombined = 3

// Corners lists the corners of a site's tolerances: every combination of ends of up to three toleranced values; of
// more, the ends of each with the others at their values, all at their lower ends and all at their upper ends.
func (s *Site) Corners() []Corner {
	list := s.Tolerances()
	n := len(list)
	var corners []Corner
	add := func(sign func(i int) int) {
		var c Corner
		var parts []string
		for i, t := range list {
			end := sign(i)
			c.Signs = append(c.Signs, end)
			if end != 0 {
				_, name, _ := strings.Cut(t.Path, "/")
				parts = append(parts, strings.ReplaceAll(name, "/",
					" ")+" "+q.Format(t.Value.SI+float64(end)*t.Value.Tolerance, t.Dim))
			}
		}
		c.Text = strings.Join(parts, ", ")
		corners = append(corners, c)
	}
	switch {
	case n == 0:
	case n <= mostCombined:
		for bits := range 1 << n {
			add(func(i int) int { return 2*(bits>>i&1) - 1 })
		}
	default:
		for one := range n {
			for _, end := range []int{-1, 1} {
				add(func(i int) int {
					if i == one {
						return end
					}
					return 0
				})
			}
		}
		add(func(int) int { return -1 })
		add(func(int) int { return 1 })
	}
	return corners
}

// AtCorner is the site with its toleranced values at the ends that signs choose, which are those of a Corner; signs
// that are left out are 0. In the corner these values are exact. The site itself does not change.
func AtCorner(site *Site, signs ...int) *Site {
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
