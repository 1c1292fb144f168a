package language

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/harness/wording"
)

// longest is the longest time that a scenario may speak of, in s.
const longest = 366 * 86400

// Expressions of what may stand at a placeholder. They are wide on purpose: what is wrong with a name or a unit is said
// by the reader, who knows what was expected.
const (
	quoted = `"([^"]*)"`
	amount = `([-+−]?\.?[0-9½¼¾⅛⅜⅝⅞][^",]*?)`
	whole  = `([0-9]+)`
)

// placeholders are what patterns may leave open.
var placeholders = sync.OnceValue(func() map[string]placeholder {
	all := map[string]placeholder{
		"site":  {`"<site>"`, quoted, []reader{readText}},
		"alert": {`"<alert>"`, quoted, []reader{readAlert}},
		"clock": {"<day of week> <time of day>", `([A-Za-z]+ [0-9:]+)`, []reader{readText}},
		"count": {"<count>", whole, []reader{readCount}},
		"for":   {"[ for <duration>]", `(?: for ` + amount + `)?`, []reader{readWindow}},
		"time":  {"<time of day>", `([0-9]{1,2}:[0-9]{2})`, []reader{readTime}},
		"within": {"within <duration>[ of [the first ]<event>]", `(?:within ` + amount +
			`(?: of (.+))?|by ([0-9]{1,2}:[0-9]{2}))`, []reader{readWithin, readOf, readBy}},
		"window": {"<duration>", amount, []reader{readWindow}},
		"event":  {"<event>", `(.+)`, []reader{readEvent}},
	}
	for _, d := range Devices {
		all[d.Placeholder] = placeholder{`"<` + d.Placeholder + `>"`, quoted, []reader{readDevice(d)}}
	}
	for name, q := range Quantities {
		all[name] = placeholder{"<" + name + ">", amount, []reader{readQuantity(q.Dim, q.Min, q.Max)}}
	}
	return all
})

// Quantities are the quantities that patterns ask for, with the range that makes sense in any scenario.
var Quantities = map[string]struct {
	Dim      quantity.Dimension
	Min, Max float64
}{
	"duration":    {quantity.Duration, 1e-9, longest},
	"length":      {quantity.Length, 0, 1e3},
	"volume":      {quantity.Volume, 0, 1e6},
	"flow":        {quantity.Flow, 0, 1e3},
	"pressure":    {quantity.Pressure, 0, 1e8},
	"resistance":  {quantity.Resistance, 0, 1e12},
	"share":       {quantity.Fraction, 0, 1},
	"number":      {quantity.None, 0, 1e3},
	"voltage":     {quantity.Voltage, 0, 1e3},
	"current":     {quantity.Current, 0, 1e3},
	"temperature": {quantity.Temperature, -50, 500},
}

func readText(_ *Compiler, text string, a *Args) { a.values = append(a.values, value{text: text}) }

func readCount(c *Compiler, text string, a *Args) {
	n, err := strconv.Atoi(text)
	if err != nil || n > 1e6 {
		c.Problem(text, "a whole number up to 1000000")
	}
	a.values = append(a.values, value{text: text, si: float64(n)})
}

func readQuantity(dim quantity.Dimension, min, max float64) reader {
	return func(c *Compiler, text string, a *Args) {
		a.values = append(a.values, value{text: text, si: c.quantity(text, dim, min, max)})
	}
}

// quantity reads a quantity and says what is wrong with it.
func (c *Compiler) quantity(text string, dim quantity.Dimension, min, max float64) float64 {
	v, err := quantity.Parse(text, dim)
	switch {
	case err != nil:
		c.Fail("%v", err)
	case v.Tolerance != 0:
		c.Problem(strconv.Quote(text),
			"a "+quantity.Name(dim)+" without a tolerance; tolerances belong into the site file")
	case !(v.SI >= min && v.SI <= max):
		c.Problem(strconv.Quote(text), fmt.Sprintf("a %s of %s to %s", quantity.Name(dim), quantity.Format(min, dim),
			quantity.Format(max, dim)))
	default:
		return v.SI
	}
	return math.NaN()
}

// figurePlaceholder is a placeholder of a fault's phrase; it is shown by what it measures.
func figurePlaceholder(name string, dim quantity.Dimension) placeholder {
	expr, read := whole, readCount
	if q, ok := Quantities[quantity.Name(dim)]; ok {
		expr, read = amount, readQuantity(dim, min(q.Min, 0), q.Max)
	}
	return placeholder{"<" + quantity.Name(dim) + ">", expr, []reader{func(c *Compiler, text string, a *Args) {
		if text == "" { // it stands in a part that was left out
			return
		}
		if a.figures == nil {
			a.figures = map[string]float64{}
		}
		var one Args
		read(c, text, &one)
		a.figures[name] = one.SI(0)
	}}}
}

func readWindow(c *Compiler, text string, a *Args) {
	if text != "" {
		a.window = Span(c.quantity(text, quantity.Duration, 1e-9, longest))
	}
}

func readWithin(c *Compiler, text string, a *Args) {
	if text == "" { // a time of day stands in its place
		return
	}
	a.within = Span(c.quantity(text, quantity.Duration, 1e-9, longest))
}

func readAlert(c *Compiler, text string, a *Args) {
	c.name(text, "an alert", harness.AlertNames())
	a.values = append(a.values, value{text: text})
}

// device is a kind of device that patterns ask for.
type device struct {
	Placeholder string
	Names       func(*sitefile.Site) []string
}

func readDevice(d device) reader {
	return func(c *Compiler, text string, a *Args) {
		if c.Site != nil {
			c.name(text, spelling.Article(d.Placeholder)+" of the site", d.Names(c.Site))
		}
		a.values = append(a.values, value{text: text})
	}
}

// name says when a name is not one of those that it should be one of.
func (c *Compiler) name(text, what string, names []string) {
	for _, n := range names {
		if n == text {
			return
		}
	}
	expected := what
	if len(names) == 0 {
		expected += ", and there is none"
	} else {
		expected += " (" + strings.Join(names, ", ") + ")"
	}
	if near := spelling.Nearest(text, names); near != "" {
		expected += fmt.Sprintf("; did you mean %q?", near)
	}
	c.Problem(strconv.Quote(text), expected)
}

// placeholder is one thing that a pattern leaves open.
type placeholder struct {
	shows   string
	expr    string
	readers []reader // one a group of expr
}

// NewPattern makes a pattern of its text (see package wording). A timed one may have words in front that say when.
// figures are placeholders besides those that every pattern knows.
func NewPattern(text string, timed bool, figures map[string]quantity.Dimension) *pattern {
	p := &pattern{}
	var shows, expr strings.Builder
	if timed {
		expr.WriteString(`(?:(.+?), )?`)
		p.readers, p.Names = append(p.readers, readTiming), append(p.Names, "")
	}
	for _, piece := range wording.Split(text) {
		switch piece.Kind {
		case wording.Literal:
			shows.WriteString(piece.Text)
			expr.WriteString(regexp.QuoteMeta(piece.Text))
		case wording.Begin:
			shows.WriteString("[")
			expr.WriteString("(?:")
		case wording.End:
			shows.WriteString("]")
			expr.WriteString(")?")
		case wording.Letters:
			shows.WriteString("(" + piece.Text + ")")
			expr.WriteString("(?:" + piece.Text + ")?")
		case wording.Words:
			shows.WriteString(piece.Text)
			expr.WriteString("(?:" + strings.ReplaceAll(piece.Text, "/", "|") + ")")
		case wording.Placeholder:
			h := find(piece.Text, figures)
			shows.WriteString(h.shows)
			expr.WriteString(h.expr)
			for _, r := range h.readers {
				p.readers, p.Names = append(p.readers, r), append(p.Names, piece.Text)
			}
		}
	}
	p.Shows = shows.String()
	p.Expr = regexp.MustCompile("^" + expr.String() + "$")
	if p.Expr.NumSubexp() != len(p.readers) {
		panic(fmt.Sprintf("scenarios: the phrase %q has %d groups for %d readers", text, p.Expr.NumSubexp(),
			len(p.readers)))
	}
	return p
}

// find is the placeholder of a name. An unknown one is a mistake of the program and panics.
func find(name string, figures map[string]quantity.Dimension) placeholder {
	if dim, own := figures[name]; own {
		return figurePlaceholder(name, dim)
	}
	h, ok := placeholders()[name]
	if !ok {
		panic(fmt.Sprintf("scenarios: a phrase has an unknown placeholder {%s}", name))
	}
	return h
}
