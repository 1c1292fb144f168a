package sitefile

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	q "ullage/harness/quantity"
	"ullage/harness/spelling"
)

// checker finds what is wrong with the sense of a site: between values, and between parts. A value that was left out or
// could not be read is reported already and breaks no rule.
type checker struct {
	*reader
	site  *Site
	parts []part
	named map[string]*part // the first part of each name
	wired map[string]bool  // names of what is on a terminal

	wiringKnown bool           // the terminals are without mistakes
	paths       map[any]string // by pointer to the value; made for the first mistake
	needed      map[any]bool   // required values of a site that did not come from a file
}

// mostParts is how many parts a site may have; the largest shipped one has some thirty.
const mostParts = 1000

func (c *checker) run() {
	if n := len(c.site.parts()); n > mostParts {
		c.mistake(spot{line: 1, column: 1, read: fmt.Sprintf("%d parts", n)},
			Mistake{Expected: fmt.Sprintf("a site of at most %d", mostParts)})
		return
	}
	c.needed = map[any]bool{}
	c.airGapsInPipes()
	walk(reflect.ValueOf(c.site).Elem(), field{}, "", func(v reflect.Value, f field, _ string) {
		if f.required && !c.fromFile() {
			c.needed[v.Addr().Interface()] = true
		}
		c.limits(v, f)
	})
	c.site.FillDefaults()
	c.names()
	c.water()
	c.mains()
	c.pipework()
	c.pumps()
	c.tanks()
	c.openings()
	c.soil()
	c.outputsOfProbes()
	c.board()
	c.terminals()
	c.returns()
	c.power()
	c.settings()
	c.reacts()
}

// limits holds a value against the range of its field, over the whole of its tolerance.
func (c *checker) limits(v reflect.Value, f field) {
	p := v.Addr().Interface()
	if f.choices != nil && c.known(p) && !contains(f.choices, v.String()) {
		expected := oneOf(f.choices)
		if near := spelling.Nearest(v.String(), f.choices); near != "" {
			expected += "; the nearest is " + near
		}
		c.wrong(p, "", "%s", expected)
	}
	if f.limits == "" || !c.known(p) {
		return
	}
	var low, high float64
	switch v.Kind() {
	case reflect.Int:
		low, high = float64(v.Int()), float64(v.Int())
	case reflect.Float64:
		low, high = v.Float(), v.Float()
	default:
		low, high = p.(amount).Low(), p.(amount).High()
	}
	if !(low >= f.least && high <= f.greatest) {
		c.wrong(p, "", "%s", f.limits)
	}
}

// known reports whether every one of the values was given and read: pointers to quantities, texts or numbers.
func (c *checker) known(values ...any) bool {
	for _, p := range values {
		if c.broken[p] {
			return false
		}
		if a, ok := p.(amount); ok {
			if !a.IsSet() {
				return false
			}
			continue
		}
		if _, placed := c.spots[p]; !placed && !c.needed[p] && (c.fromFile() || reflect.ValueOf(p).Elem().IsZero()) {
			return false
		}
	}
	return true
}

func (c *checker) fromFile() bool { return len(c.spots) > 0 }

// wrong reports a mistake at a value. Later rules leave the value out.
func (c *checker) wrong(p any, why, expected string, args ...any) {
	s, ok := c.spots[p]
	if !ok {
		s.read = "nothing"
		if a, isAmount := p.(amount); isAmount && a.IsSet() {
			s.read = spelling.Quote(a.String())
		} else if v := reflect.ValueOf(p).Elem(); !isAmount && v.Kind() != reflect.Slice && v.Kind() != reflect.Struct {
			s.read = spelling.Quote(fmt.Sprint(v.Interface()))
		}
	}
	c.broken[p] = true
	c.mistake(s, Mistake{Path: c.path(p), Why: why, Expected: fmt.Sprintf(expected, args...)})
}

// path is the keys and names that lead to a value.
func (c *checker) path(p any) string {
	if c.paths == nil {
		c.paths = map[any]string{}
		walk(reflect.ValueOf(c.site).Elem(), field{}, "", func(v reflect.Value, _ field, path string) {
			c.paths[v.Addr().Interface()] = path
		})
	}
	return c.paths[p]
}

// less demands that one quantity is below another over the whole of both tolerances.
func (c *checker) less(p, than amount, expected string) {
	if c.known(p, than) && !(p.High() < than.Low()) {
		c.wrong(p, "", "%s (%s)", expected, than)
	}
}

// exact demands that a value carries no tolerance.
func (c *checker) exact(v reflect.Value, why string) {
	walk(v, field{}, "", func(v reflect.Value, _ field, _ string) {
		if a, ok := v.Addr().Interface().(amount); ok && a.High() > a.Low() {
			c.wrong(a, why, "one value without ±")
		}
	})
}

// missing reports that a key of a part was not given. The place is that of the part.
func (c *checker) missing(owner any, key, expected string) {
	c.mistake(c.spots[owner], Mistake{Path: c.path(owner), Read: "nothing for " + strconv.Quote(key),
		Expected: expected})
}

// reference demands that a text names a part of one of the kinds, and returns the part.
func (c *checker) reference(p *string, kinds ...string) *part {
	if !c.known(p) {
		return nil
	}
	found, exists := c.named[*p]
	if exists && contains(kinds, found.Kind) {
		return found
	}
	why := "nothing has this name"
	if exists {
		why = "this is " + spelling.Article(found.Kind)
	}
	c.wrong(p, why, "%s", c.choice(kinds, *p, nil))
	return nil
}

// choice lists the names of parts of the kinds, as far as they pass, and the one nearest to what was written.
func (c *checker) choice(kinds []string, written string, passes func(*part) bool) string {
	const most = 12
	var names []string
	for i := range c.parts {
		if p := &c.parts[i]; contains(kinds, p.Kind) && *p.name != "" && (passes == nil || passes(p)) {
			names = append(names, *p.name)
		}
	}
	text := "the name of " + spelling.Article(oneOf(kinds))
	if len(kinds) > 4 {
		text = "the name of a part that water flows out of"
	}
	if names == nil {
		return text + " (there is none)"
	}
	near := spelling.Nearest(written, names)
	if len(names) > most {
		names = append(names[:most], "…")
	}
	text += " (" + strings.Join(names, ", ") + ")"
	if near != "" {
		text += "; the nearest is " + strconv.Quote(near)
	}
	return text
}

// format prints an SI value in the unit a person expects.
func format(si float64, dim q.Dimension) string { return q.Format(si, dim) }
