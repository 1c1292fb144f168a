package sitefile

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	q "ullage/harness/quantity"
)

// figure is a key of the site file that takes a number or a quantity.
type figure struct {
	field
	keys []string // that lead to it; "-" stands for an entry of a list
}

// figures finds every one below a type.
func figures(t reflect.Type, keys []string) []figure {
	var list []figure
	for _, f := range fieldsOf(t) {
		in := append(append([]string(nil), keys...), f.key)
		inner := f.typ
		for inner.Kind() == reflect.Pointer || inner.Kind() == reflect.Slice {
			if inner.Kind() == reflect.Slice {
				in = append(in, "-")
			}
			inner = inner.Elem()
		}
		_, amount := dimensionOf(inner)
		switch {
		case amount, inner.Kind() == reflect.Int, inner.Kind() == reflect.Float64:
			list = append(list, figure{f, in})
		case inner.Kind() == reflect.Struct:
			list = append(list, figures(inner, in)...)
		}
	}
	return list
}

// document is a site file with nothing in it but one value.
func (f figure) document(value string) string {
	text := value
	for i := len(f.keys) - 1; i >= 0; i-- {
		if f.keys[i] == "-" {
			text = "[" + text + "]"
		} else {
			text = "{" + f.keys[i] + ": " + text + "}"
		}
	}
	return text
}

// said is what reading the document says about the value.
func (f figure) said(t *testing.T, value string) string {
	_, err := Read("x.yaml", []byte(f.document(value)))
	var mistakes *Mistakes
	require.True(t, errors.As(err, &mistakes), "%v", err)
	var about []string
	for _, m := range *mistakes {
		keys := strings.NewReplacer("/1", "").Replace(m.Path)
		if strings.HasSuffix(keys, strings.ReplaceAll(strings.Join(f.keys, "/"), "/-", "")) {
			about = append(about, m.Error())
		}
	}
	return strings.Join(about, "\n")
}

// beside is a quantity of another dimension.
func beside(dim q.Dimension) string {
	if dim == q.Pressure {
		return "3 min"
	}
	return "3 bar"
}

// Every number of the site file has a range, and what is outside of it, has no unit or another one, or is no number, is
// refused where it stands, with the range or the quantity and its units.
func TestEveryFigureIsHeldToItsRange(t *testing.T) {
	all := figures(reflect.TypeFor[Site](), nil)
	require.Greater(t, len(all), 150, "the keys of the site file are not found any more")
	for _, f := range all {
		t.Run(strings.Join(f.keys, "/"), func(t *testing.T) {
			require.NotEmpty(t, f.limits, "the key has no range")
			dim, amount := dimensionOf(f.typ)
			write := func(v float64) string {
				if !amount {
					return fmt.Sprintf("%.0f", v)
				}
				if dim == q.Fraction {
					return fmt.Sprintf("%.12f %%", 100*v)
				}
				return fmt.Sprintf("%.12f %s", v, q.Unit(dim))
			}
			span := max(1, f.greatest-f.least)
			for _, outside := range []string{write(f.least - span), write(f.greatest + span), write(f.greatest * 1e9)} {
				assert.Contains(t, f.said(t, outside), f.limits, "what is said about %s does not name the range",
					outside)
			}
			inside := write((f.least + f.greatest) / 2)
			assert.NotContains(t, f.said(t, inside), "expected "+f.limits, "%s is refused", inside)
			for _, garbage := range []string{"NaN", "Inf", "-.inf", "1e999", "'a bit'", "'1 2'", "~", "[1]", "{a: 1}"} {
				said := f.said(t, garbage)
				if amount {
					assert.Contains(t, said, q.Name(dim), "what is said about %s does not name the quantity", garbage)
				} else {
					assert.Regexp(t, "number|"+f.limits, said, "what is said about %s does not name what is expected",
						garbage)
				}
			}
			if !amount {
				assert.Regexp(t, "number", f.said(t, "3 bar"), "a unit is accepted where there is none")
				return
			}
			assert.Contains(t, f.said(t, "'"+beside(dim)+"'"), q.Name(dim),
				"a unit of another quantity is not refused by name")
			if q.Unit(dim) != "" && dim != q.Fraction && dim != q.Count {
				assert.Contains(t, f.said(t, "3"), "unit", "a number without a unit is not refused as such")
			}
		})
	}
}
