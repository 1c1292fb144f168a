package quantity

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"ullage/harness/spelling"
)

// term is one number with the unit written beside it.
type term struct {
	number float64
	unit   string
}

// Parse reads a quantity of the dimension as a person writes it: a number and its unit, with a tolerance if wanted.
//
//	2.4 bar    3/4 in    1 1/2"    2 h 30 min    68 °F    560 mm ± 10 mm    560 ± 10 mm    560 mm +- 2 %
//
// A tolerance in % is a share of the number beside it, except for a share, whose tolerance is in percentage points. The
// tolerance of a temperature is a difference: 68 °F ± 9 °F is 20 °C ± 5 °C. Durations and lengths may be written in
// several terms, the larger unit first; a minus in front holds for the whole. A gallon is a US gallon.
//
// An error names what was read, what was expected and how to write it. Whether the value is sensible (a share above
// 100 %, a length below zero) is for the caller to judge; it is always finite.
func Parse(text string, dim Dimension) (Value, error) {
	v, err := parse(plain(text), dim)
	if errors.Is(err, errTooLarge) {
		err = fmt.Errorf("%w; expected %s", err, expected(dim))
	}
	if err != nil {
		return Value{}, fmt.Errorf("%s: %w", spelling.Quote(text), err)
	}
	return v, nil
}

func parse(text string, dim Dimension) (Value, error) {
	if text == "" {
		return Value{}, fmt.Errorf("nothing is written here; expected %s", expected(dim))
	}
	if err := refuseComma(text); err != nil {
		return Value{}, err
	}
	left, right, toleranced := strings.Cut(text, "±")
	terms, err := split(strings.Trim(left, " "), dim)
	if err != nil {
		return Value{}, err
	}
	var tolerance []term
	if toleranced {
		if tolerance, err = split(strings.Trim(right, " "), dim); err != nil {
			return Value{}, fmt.Errorf("tolerance: %w", err)
		}
		if relative := isShare(tolerance[0]) && dim != Fraction; terms[0].unit == "" && len(terms) == 1 && !relative {
			terms[0].unit = tolerance[len(tolerance)-1].unit // 560 ± 10 mm
		}
	}
	si, err := sum(terms, dim, unit.toSI)
	if err != nil {
		return Value{}, err
	}
	if dim == Count && (si < 0 || si != math.Trunc(si)) || dim == State && si != 0 && si != 1 {
		return Value{}, fmt.Errorf("not a %s; expected %s", Name(dim), expected(dim))
	}
	if !toleranced {
		return Value{SI: si}, nil
	}
	band, err := band(tolerance, terms, si, dim)
	if err != nil {
		return Value{}, err
	}
	v := Value{SI: si, Tolerance: band}
	if math.IsInf(v.Low(), 0) || math.IsInf(v.High(), 0) {
		return Value{}, errTooLarge
	}
	return v, nil
}

// band is the half width that the terms after ± stand for.
func band(tolerance, value []term, si float64, dim Dimension) (float64, error) {
	var width float64
	var err error
	switch first := tolerance[0]; {
	case dim == Count || dim == State:
		return 0, fmt.Errorf("a %s is exact: leave the tolerance out", Name(dim))
	case isShare(first) && dim == Temperature:
		return 0, fmt.Errorf(
			"a share of a temperature depends on where its scale begins; write the tolerance in degrees, e.g. ± 2 °C",
		)
	case isShare(first) && dim != Fraction && len(tolerance) == 1:
		width = math.Abs(si) * first.number / 100
	case first.unit == "" && dim != None:
		written := value[len(value)-1].unit
		return 0, fmt.Errorf("the tolerance %v needs a unit too, e.g. ± %v %s or ± 2 %%", first.number, first.number,
			written)
	default:
		if width, err = sum(tolerance, dim, unit.differenceToSI); err != nil {
			return 0, fmt.Errorf("tolerance: %w", err)
		}
	}
	if math.Signbit(width) {
		return 0, fmt.Errorf("a tolerance is the same on both sides: write it without a minus")
	}
	return width, finite(width)
}

func isShare(t term) bool {
	_, ok := lookup(t.unit, Fraction)
	return ok
}

// sum adds the terms up in SI. Only durations and lengths have several, each in a smaller unit than the one before.
func sum(terms []term, dim Dimension, toSI func(unit, float64) float64) (float64, error) {
	total, last := 0.0, math.Inf(1)
	sign := 1.0
	for i, t := range terms {
		u, ok := lookup(t.unit, dim)
		switch {
		case !ok:
			return 0, unitError(t, dim)
		case i > 0 && dim != Duration && dim != Length:
			return 0, fmt.Errorf("two numbers with a unit; expected one: %s", expected(dim))
		case u.num/u.den >= last:
			return 0, fmt.Errorf("%s comes after a unit that is no larger; write the larger unit first, e.g. %s",
				t.unit, inTerms(dim))
		}
		last = u.num / u.den
		if i == 0 && math.Signbit(t.number) {
			sign = -1
		}
		if i == 0 {
			total = toSI(u, t.number)
		} else {
			total += float64(sign * toSI(u, t.number))
		}
	}
	return total, finite(total)
}

func inTerms(dim Dimension) string {
	if dim == Length {
		return "5 ft 6 in"
	}
	return "2 h 30 min"
}

var errTooLarge = errors.New("the number is too large")

func finite(x float64) error {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return errTooLarge
	}
	return nil
}

var (
	decimalComma = regexp.MustCompile(`\d,\d|(^|[^\d]),\d`)
	vulgar       = regexp.MustCompile(`^([-+]?)(?:(\d+)[ -])?(\d+)/(\d+)`)
	decimal      = regexp.MustCompile(`^[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?`)
	atNumber     = regexp.MustCompile(`^\.?\d`)
	nextNumber   = regexp.MustCompile(` \.?\d`)
	anyNumber    = regexp.MustCompile(` ?\.?\d`) // no unit of a duration or a length holds a digit: 2h30min
)

func refuseComma(text string) error {
	if !decimalComma.MatchString(text) {
		return nil
	}
	if strings.Count(text, ",") == 1 {
		return fmt.Errorf("the comma; write a decimal point (%s), and thousands without a mark",
			strings.Replace(text, ",", ".", 1))
	}
	return fmt.Errorf("the commas; write a decimal point, and thousands without a mark")
}

// split cuts "2 h 30 min" into its numbers and units. It returns at least one term, or an error.
func split(text string, dim Dimension) ([]term, error) {
	var terms []term
	start := nextNumber
	if dim == Duration || dim == Length {
		start = anyNumber
	}
	for rest := text; rest != "" || terms == nil; {
		n, length, err := number(rest)
		if err != nil {
			return nil, err
		}
		if length == 0 {
			return nil, fmt.Errorf("no number where one is expected; write %s", expected(dim))
		}
		rest = strings.TrimLeft(rest[length:], " ")
		end := len(rest)
		if next := start.FindStringIndex(rest); next != nil {
			end = next[0]
		}
		if atNumber.MatchString(rest) {
			return nil, fmt.Errorf("two numbers without a unit between them; expected %s, thousands without a mark",
				expected(dim))
		}
		terms = append(terms, term{n, strings.Trim(rest[:end], " ")})
		rest = strings.TrimLeft(rest[end:], " ")
	}
	return terms, nil
}

// number reads the number at the start of the text: a decimal, a fraction (3/4) or a mixed number (1 1/2, 1-1/2). The
// length is 0 when there is none.
func number(text string) (n float64, length int, err error) {
	if m := vulgar.FindStringSubmatch(text); m != nil {
		var whole, over, under float64
		if m[2] != "" {
			whole, err = strconv.ParseFloat(m[2], 64)
		}
		if err == nil {
			over, err = strconv.ParseFloat(m[3], 64)
		}
		if err == nil {
			under, err = strconv.ParseFloat(m[4], 64)
		}
		if err != nil {
			return 0, 0, errTooLarge
		}
		if under == 0 {
			return 0, 0, fmt.Errorf("a fraction with nothing below its stroke")
		}
		n = whole + over/under
		if m[1] == "-" {
			n = -n
		}
		return n, len(m[0]), nil
	}
	digits := decimal.FindString(text)
	if digits == "" {
		return 0, 0, nil
	}
	n, err = strconv.ParseFloat(digits, 64)
	if err != nil {
		return 0, 0, errTooLarge
	}
	return n, len(digits), nil
}

// plain brings the many ways to type a sign down to one: spaces, minus, powers, micro, ohm, degree, quotes, fractions,
// ±.
func plain(text string) string {
	text = afterDigit.ReplaceAllString(text, "$1 $2") // 1½ is 1 1/2, and -½ is -1/2
	words := strings.FieldsFunc(oneSpelling.Replace(text),
		func(r rune) bool { return strings.ContainsRune(" \t\n\f\r"+narrowBlanks, r) })
	return strings.Join(words, " ")
}

// narrowBlanks are those that text processors set between a number and its unit: no-break, thin, narrow no-break.
const narrowBlanks = "\u00a0\u2009\u202f"

var afterDigit = regexp.MustCompile(`(\d)([½¼¾⅛⅜⅝⅞])`)

var oneSpelling = strings.NewReplacer(
	"−",
	"-",
	"–",
	"-",
	"²",
	"2",
	"³",
	"3",
	"^2",
	"2",
	"^3",
	"3",
	"μ",
	"µ",
	"\u2126",
	"Ω",
	"º",
	"°",
	"℃",
	"°C",
	"℉",
	"°F",
	"″",
	`"`,
	"”",
	`"`,
	"′",
	"'",
	"’",
	"'",
	"½",
	"1/2 ",
	"¼",
	"1/4 ",
	"¾",
	"3/4 ",
	"⅛",
	"1/8 ",
	"⅜",
	"3/8 ",
	"⅝",
	"5/8 ",
	"⅞",
	"7/8 ",
	"+/-",
	"±",
	"+-",
	"±",
	"⁄",
	"/",
)
