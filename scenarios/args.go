package scenarios

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
)

// args is what stands at the placeholders of a phrase, in order.
type args struct {
	values  []value
	figures map[string]float64 // of a phrase of the catalogue of faults, by placeholder, in SI
	window  signal.Time        // of {for} or {window}; 0 when it was left out
	within  signal.Time        // of {within}
	event   *outcome.Event
	after   signal.Time // the event, and so much later
	over    signal.Time // gradually over this time; 0: at once
	period  signal.Time // again after this time, times in all; 0: once
	times   int
}

// value is one of them: a name or text, or a quantity in SI.
type value struct {
	text string
	si   float64
}

func (a args) text(i int) string      { return a.values[i].text }
func (a args) si(i int) float64       { return a.values[i].si }
func (a args) span(i int) signal.Time { return span(a.values[i].si) }

// span is a length of time in nanoseconds.
func span(seconds float64) signal.Time { return signal.Time(math.Round(seconds * 1e9)) }

// longest is the longest time that a scenario may speak of, in s.
const longest = 366 * 86400

// Expressions of what may stand at a placeholder. They are wide on purpose: what is wrong with a name or a unit is said
// by the reader, who knows what was expected.
const (
	quoted = `"([^"]*)"`
	amount = `([-+−]?\.?[0-9½¼¾⅛⅜⅝⅞][^",]*?)`
)

// placeholders are what patterns may leave open.
var placeholders = sync.OnceValue(func() map[string]placeholder {
	all := map[string]placeholder{
		"site":   {`"<site>"`, quoted, []reader{readText}},
		"alert":  {`"<alert>"`, quoted, []reader{readAlert}},
		"clock":  {"<day of week> <time of day>", `([A-Za-z]+ [0-9:]+)`, []reader{readText}},
		"count":  {"<count>", `([0-9]+)`, []reader{readCount}},
		"for":    {"[ for <duration>]", `(?: for ` + amount + `)?`, []reader{readWindow}},
		"within": {"within <duration>[ of <event>]", `within ` + amount + `(?: of (.+))?`, []reader{readWithin, readOf}},
		"window": {"<duration>", amount, []reader{readWindow}},
		"event":  {"<event>", `(.+)`, []reader{readEvent}},
	}
	for _, d := range devices {
		all[d.placeholder] = placeholder{`"<` + d.placeholder + `>"`, quoted, []reader{readDevice(d)}}
	}
	for name, q := range quantities {
		all[name] = placeholder{"<" + name + ">", amount, []reader{readQuantity(q.dim, q.min, q.max)}}
	}
	return all
})

// quantities are the quantities that patterns ask for, with the range that makes sense in any scenario.
var quantities = map[string]struct {
	dim      quantity.Dimension
	min, max float64
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

func readText(_ *compiler, text string, a *args) { a.values = append(a.values, value{text: text}) }

func readCount(c *compiler, text string, a *args) {
	n, err := strconv.Atoi(text)
	if err != nil || n > 1e6 {
		c.problem(text, "a whole number up to 1000000")
	}
	a.values = append(a.values, value{text: text, si: float64(n)})
}

func readQuantity(dim quantity.Dimension, min, max float64) reader {
	return func(c *compiler, text string, a *args) {
		a.values = append(a.values, value{text: text, si: c.quantity(text, dim, min, max)})
	}
}

// quantity reads a quantity and says what is wrong with it.
func (c *compiler) quantity(text string, dim quantity.Dimension, min, max float64) float64 {
	v, err := quantity.Parse(text, dim)
	switch {
	case err != nil:
		c.fail("%v", err)
	case v.Tolerance != 0:
		c.problem(strconv.Quote(text), "a "+quantity.Name(dim)+" without a tolerance; tolerances belong into the site file")
	case !(v.SI >= min && v.SI <= max):
		c.problem(strconv.Quote(text), fmt.Sprintf("a %s of %s to %s", quantity.Name(dim), quantity.Format(min, dim), quantity.Format(max, dim)))
	default:
		return v.SI
	}
	return math.NaN()
}

// figurePlaceholder is a placeholder of a fault's phrase; it is shown by what it measures.
func figurePlaceholder(name string, dim quantity.Dimension) placeholder {
	expr, read := `([0-9]+)`, readCount
	if q, ok := quantities[quantity.Name(dim)]; ok {
		expr, read = amount, readQuantity(dim, min(q.min, 0), q.max)
	}
	return placeholder{"<" + quantity.Name(dim) + ">", expr, []reader{func(c *compiler, text string, a *args) {
		if text == "" { // it stands in a part that was left out
			return
		}
		if a.figures == nil {
			a.figures = map[string]float64{}
		}
		var one args
		read(c, text, &one)
		a.figures[name] = one.si(0)
	}}}
}

func readWindow(c *compiler, text string, a *args) {
	if text != "" {
		a.window = span(c.quantity(text, quantity.Duration, 1e-9, longest))
	}
}

func readWithin(c *compiler, text string, a *args) {
	a.within = span(c.quantity(text, quantity.Duration, 1e-9, longest))
}

func readAlert(c *compiler, text string, a *args) {
	c.name(text, "an alert", harness.AlertNames())
	a.values = append(a.values, value{text: text})
}

// device is a kind of device that patterns ask for.
type device struct {
	placeholder string
	names       func(*sitefile.Site) []string
}

func readDevice(d device) reader {
	return func(c *compiler, text string, a *args) {
		if c.site != nil {
			c.name(text, spelling.Article(d.placeholder)+" of the site", d.names(c.site))
		}
		a.values = append(a.values, value{text: text})
	}
}

// name says when a name is not one of those that it should be one of.
func (c *compiler) name(text, what string, names []string) {
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
	c.problem(strconv.Quote(text), expected)
}

// devices are the kinds of device, each with the names that a site has of it.
var devices = []device{
	{"tank", func(s *sitefile.Site) []string { return names(s.Tanks, func(d sitefile.Tank) string { return d.Name }) }},
	{"valve", func(s *sitefile.Site) []string {
		return names(s.Valves, func(d sitefile.Valve) string { return d.Name })
	}},
	{"pump", func(s *sitefile.Site) []string { return names(s.Pumps, func(d sitefile.Pump) string { return d.Name }) }},
	{"contact", func(s *sitefile.Site) []string {
		return names(s.Contacts, func(d sitefile.Contact) string { return d.Name })
	}},
	{"probe", func(s *sitefile.Site) []string {
		return names(s.Probes, func(d sitefile.Probe) string { return d.Name })
	}},
	{"supply", func(s *sitefile.Site) []string {
		return names(s.Supplies, func(d sitefile.Supply) string { return d.Name })
	}},
	{"backflow preventer", func(s *sitefile.Site) []string {
		return names(s.BackflowPreventers, func(d sitefile.BackflowPreventer) string { return d.Name })
	}},
	{"non-return valve", func(s *sitefile.Site) []string {
		return names(s.NonReturnValves, func(d sitefile.NonReturnValve) string { return d.Name })
	}},
	{"meter", func(s *sitefile.Site) []string {
		return names(s.Meters, func(d sitefile.Meter) string { return d.Name })
	}},
	{"bed", func(s *sitefile.Site) []string { return names(s.Beds, func(d sitefile.Bed) string { return d.Name }) }},
	{"pipe", func(s *sitefile.Site) []string { return names(s.Pipes, func(d sitefile.Pipe) string { return d.Name }) }},
	{"filter", func(s *sitefile.Site) []string {
		return names(s.Filters, func(d sitefile.Filter) string { return d.Name })
	}},
	{"throttle", func(s *sitefile.Site) []string {
		return names(s.Throttles, func(d sitefile.Throttle) string { return d.Name })
	}},
	{"outlet", func(s *sitefile.Site) []string {
		return names(s.Outlets, func(d sitefile.Outlet) string { return d.Name })
	}},
	{"lateral", func(s *sitefile.Site) []string {
		return names(s.Laterals, func(d sitefile.Lateral) string { return d.Name })
	}},
	{"non-return valve", func(s *sitefile.Site) []string {
		return names(s.NonReturnValves, func(d sitefile.NonReturnValve) string { return d.Name })
	}},
	{"pipe or drip line", leaky},
	{"sprinkler", sprinklers},
	{"zone", zones},
	{"remote zone", remoteZones},
	{"place", places},
}

// names is one thing of each item of a list, mostly its name.
func names[T, N any](list []T, name func(T) N) []N {
	var all []N
	for _, item := range list {
		all = append(all, name(item))
	}
	return all
}

// zones are the outputs that a rule, a programme or somebody afar waters with.
func zones(s *sitefile.Site) []string {
	var all []string
	add := func(zone string) {
		for _, z := range all {
			if z == zone {
				return
			}
		}
		all = append(all, zone)
	}
	if m := s.Controller.Settings.Moisture; m != nil {
		add(m.Zone)
	}
	for _, p := range s.Controller.Settings.Programmes {
		add(p.Zone)
	}
	for _, z := range remoteZones(s) {
		add(z)
	}
	return all
}

func remoteZones(s *sitefile.Site) []string {
	if s.Controller.Settings.Remote == nil {
		return nil
	}
	return names(s.Controller.Settings.Remote.Zones, func(z sitefile.RemoteZone) string { return z.Zone })
}

// places are the parts with a pressure.
func places(s *sitefile.Site) []string {
	all := names(s.Supplies, func(d sitefile.Supply) string { return d.Name })
	all = append(all, names(s.Pipes, func(d sitefile.Pipe) string { return d.Name })...)
	all = append(all, names(s.Valves, func(d sitefile.Valve) string { return d.Name })...)
	all = append(all, names(s.Pumps, func(d sitefile.Pump) string { return d.Name })...)
	all = append(all, names(s.Filters, func(d sitefile.Filter) string { return d.Name })...)
	all = append(all, names(s.Throttles, func(d sitefile.Throttle) string { return d.Name })...)
	all = append(all, names(s.Regulators, func(d sitefile.Regulator) string { return d.Name })...)
	all = append(all, names(s.Outlets, func(d sitefile.Outlet) string { return d.Name })...)
	return append(all, names(s.Laterals, func(d sitefile.Lateral) string { return d.Name })...)
}
