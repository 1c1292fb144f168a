package quantity

import (
	"errors"
	"fmt"
	"strings"

	"ullage/harness/spelling"
)

// expected is "a length, e.g. 560 mm or 28 m".
func expected(d Dimension) string { return spelling.Article(Name(d)) + ", e.g. " + Examples(d) }

// unitError says why a term has no unit of the dimension.
func unitError(t term, d Dimension) error {
	if t.unit == "" {
		return fmt.Errorf("a number without a unit; expected %s (units: %s)", expected(d),
			strings.Join(symbols(d), ", "))
	}
	if Unit(d) == "" && d != Fraction {
		return fmt.Errorf("%s after the number; expected %s, without a unit", spelling.Quote(t.unit), expected(d))
	}
	for _, r := range refused {
		if r.spelling == t.unit {
			return errors.New(r.reason)
		}
	}
	for other := Fraction; int(other) < len(abouts); other++ {
		if _, ok := lookup(t.unit, other); !ok {
			continue
		}
		if t.unit == "m" && d == Pressure {
			return fmt.Errorf("m measures a length; expected %s; write a head of water as mH2O", expected(d))
		}
		return fmt.Errorf("%s measures %s; expected %s", t.unit, spelling.Article(Name(other)), expected(d))
	}
	if strings.HasPrefix(t.unit, "-") || t.unit == "to" {
		return fmt.Errorf("a range is not read; write its middle and a tolerance: 7 ± 2, with the unit")
	}
	if near := nearest(t.unit, d); near != "" {
		return fmt.Errorf("unknown unit %s; did you mean %s? expected %s", spelling.Quote(t.unit), near, expected(d))
	}
	return fmt.Errorf("unknown unit %s; expected %s (units: %s)", spelling.Quote(t.unit), expected(d),
		strings.Join(symbols(d), ", "))
}

// symbols lists the units of a dimension as they are typed on a keyboard.
func symbols(d Dimension) []string {
	var list []string
	for _, u := range units {
		if u.dim == d {
			list = append(list, typed(u))
		}
	}
	return list
}

// typed is the symbol of the unit in the spelling that every keyboard has.
func typed(u unit) string {
	return strings.NewReplacer("Ω", "ohm", "µ", "u").Replace(plain(u.symbol))
}

// nearest is the symbol of the unit whose spelling is closest, if one is close enough to be a slip of the hand. Two
// letters are too few for one: only their capitals may be wrong.
func nearest(written string, d Dimension) string {
	var list []string
	symbol := map[string]string{}
	for _, u := range units {
		if u.dim != d {
			continue
		}
		for _, text := range u.texts() {
			list, symbol[text] = append(list, text), typed(u)
			if strings.EqualFold(text, written) {
				return typed(u)
			}
		}
	}
	if len([]rune(written)) <= 2 {
		return ""
	}
	return symbol[spelling.Nearest(written, list)]
}
