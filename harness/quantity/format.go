package quantity

import (
	"math"
	"strconv"
	"strings"
)

// rung is a unit of a ladder, used while the printed number stays below the limit; 0 is no limit.
type rung struct {
	symbol string
	below  float64
}

// metric holds the units that Format chooses from, the smallest first.
var metric = map[Dimension][]rung{
	Fraction:    {{"%", 0}},
	Pressure:    {{"Pa", 100}, {"mbar", 100}, {"bar", 0}},
	Flow:        {{"mL/h", 1000}, {"L/h", 60}, {"L/min", 1000}, {"m³/h", 0}},
	Length:      {{"µm", 1000}, {"mm", 1000}, {"m", 10000}, {"km", 0}},
	Area:        {{"mm²", 100}, {"cm²", 100}, {"m²", 100000}, {"ha", 0}},
	Volume:      {{"mL", 1000}, {"L", 10000}, {"m³", 0}},
	Voltage:     {{"µV", 1000}, {"mV", 1000}, {"V", 1000}, {"kV", 0}},
	Current:     {{"nA", 1000}, {"µA", 1000}, {"mA", 1000}, {"A", 0}},
	Resistance:  {{"mΩ", 1000}, {"Ω", 1000}, {"kΩ", 1000}, {"MΩ", 0}},
	Temperature: {{"°C", 0}},
	Velocity:    {{"mm/s", 10}, {"m/s", 0}},
	Depth:       {{"mm/day", 24}, {"mm/h", 0}},
	Capacity:    {{"m³/h", 0}},
	Frequency:   {{"Hz", 1000}, {"kHz", 1000}, {"MHz", 0}},
	Charge:      {{"mAh", 1000}, {"Ah", 0}},
	Capacitance: {{"µF", 10000}, {"mF", 1000}, {"F", 0}},
}

// customary holds the US units where they differ from the metric ones.
var customary = map[Dimension][]rung{
	Pressure:    {{"psi", 0}},
	Flow:        {{"gph", 60}, {"gpm", 0}},
	Length:      {{"in", 36}, {"ft", 0}},
	Area:        {{"in²", 144}, {"ft²", 43560}, {"acre", 0}},
	Volume:      {{"fl oz", 32}, {"gal", 0}},
	Temperature: {{"°F", 0}},
	Velocity:    {{"ft/s", 0}},
	Depth:       {{"in/day", 24}, {"in/h", 0}},
	Capacity:    {{"Cv", 0}},
}

// Format prints an SI value in the metric trade unit that suits its size, to four significant digits: "2.4 bar",
// "560 mm", "6 min 5 s". Infinity is ∞, and not a number is "no value".
func Format(si float64, dim Dimension) string { return FormatIn(si, dim, Metric) }

// FormatIn prints as Format does, in the trade units of the system.
func FormatIn(si float64, dim Dimension, system System) string {
	return format(si, dim, system, unit.fromSI)
}

// FormatDifferenceIn prints a difference of two values, such as a margin. It departs from FormatIn only for
// temperatures: a difference of 5 °C is one of 9 °F.
func FormatDifferenceIn(si float64, dim Dimension, system System) string {
	return format(si, dim, system, unit.differenceFromSI)
}

func format(si float64, dim Dimension, system System, fromSI func(unit, float64) float64) string {
	if math.IsNaN(si) {
		return "no value"
	}
	if dim == Duration && !math.IsInf(si, 0) {
		return duration(si)
	}
	u, n := scaled(si, dim, system, fromSI)
	return beside(digits(n), u.symbol)
}

// scaled chooses the unit that suits the size of the value, and converts to it.
func scaled(si float64, dim Dimension, system System, fromSI func(unit, float64) float64) (unit, float64) {
	ladder := customary[dim]
	if system == Metric || ladder == nil {
		ladder = metric[dim]
	}
	if si == 0 || math.IsInf(si, 0) {
		ladder = sizeless(ladder, dim)
	}
	for _, r := range ladder {
		u, _ := lookup(r.symbol, dim)
		if n := fromSI(u, si); r.below == 0 || rounded(math.Abs(n)) < r.below {
			return u, n
		}
	}
	return unit{dim: dim, symbol: Unit(dim), num: 1, den: 1}, si
}

// sizeless is the ladder for zero and infinity: the trade unit alone, or in US units the largest.
func sizeless(ladder []rung, dim Dimension) []rung {
	if ladder == nil {
		return nil
	}
	trade, _, _ := TradeUnit(dim)
	for _, r := range ladder {
		if r.symbol == trade {
			return []rung{{trade, 0}}
		}
	}
	return []rung{{ladder[len(ladder)-1].symbol, 0}}
}

func beside(number, symbol string) string {
	if symbol == "" {
		return number
	}
	return number + " " + symbol
}

// duration prints seconds below a minute as one number, to a tenth of a second below an hour, to the second below a day
// and to the minute above.
func duration(s float64) string {
	sign := ""
	if s < 0 {
		sign = "-"
	}
	s = math.Abs(s)
	switch tenths, seconds, minutes := math.Round(s*10), math.Round(s), math.Round(s/minute); {
	case s == 0:
		return "0 s"
	case rounded(s*1e6) < 1000:
		return sign + digits(s*1e6) + " µs"
	case rounded(s*1e3) < 1000:
		return sign + digits(s*1e3) + " ms"
	case rounded(s) < minute:
		return sign + digits(s) + " s"
	case tenths < hour*10:
		whole := math.Floor(tenths / (minute * 10))
		return sign + join(whole, "min", (tenths-float64(whole*minute*10))/10, "s")
	case seconds < day:
		whole := math.Floor(seconds / hour)
		left := seconds - float64(whole*hour)
		under := math.Floor(left / minute)
		return sign + join(whole, "h", under, "min", left-float64(under*minute), "s")
	case minutes < 1e9:
		whole := math.Floor(minutes / (24 * 60))
		left := minutes - float64(whole*24*60)
		under := math.Floor(left / 60)
		return sign + join(whole, "d", under, "h", left-float64(under*60), "min")
	}
	return sign + digits(s/day) + " d"
}

// join writes numbers and units alternately, leaving out what is zero.
func join(parts ...any) string {
	var text []string
	for i := 0; i < len(parts); i += 2 {
		if n := parts[i].(float64); n != 0 {
			text = append(text, strconv.FormatFloat(n, 'f', -1, 64), parts[i+1].(string))
		}
	}
	return strings.Join(text, " ")
}

const significant = 4

// digits prints four significant digits without trailing zeros, whole numbers in full, and an exponent only where the
// plain number would be a row of zeros.
func digits(x float64) string {
	switch {
	case math.IsInf(x, 1):
		return "∞"
	case math.IsInf(x, -1):
		return "-∞"
	}
	x = rounded(x)
	if size := math.Abs(x); x != 0 && (size < 1e-4 || size >= 1e9) {
		return strconv.FormatFloat(x, 'g', significant, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// rounded is x to four significant digits, but never to less than a whole number; minus zero becomes zero.
func rounded(x float64) float64 {
	if x == 0 {
		return 0
	}
	if size := math.Abs(x); size >= 1000 && size < 1e9 {
		return math.Round(x)
	}
	r, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', significant-1, 64), 64)
	return r
}

// Exact prints an SI value as Format does where that reads back as the same number, and else with as many digits as it
// takes. A share is then the nearest that a decimal number of per cent can give.
func Exact(si float64, dim Dimension) string {
	if text := Format(si, dim); reads(text, dim, si) {
		return text
	}
	u, n := scaled(si, dim, Metric, unit.fromSI)
	if text := beside(strconv.FormatFloat(n, 'g', -1, 64), u.symbol); reads(text, dim, si) || dim == Fraction {
		return text
	}
	return beside(strconv.FormatFloat(si, 'g', -1, 64), Unit(dim))
}

// reads reports whether a text stands for a number to the last bit.
func reads(text string, dim Dimension, si float64) bool {
	v, err := Parse(text, dim)
	return err == nil && v.SI == si
}
