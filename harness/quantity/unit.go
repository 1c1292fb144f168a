package quantity

import "math"

// unit is one way to write a quantity. The SI value of a number n is (n - zero)·num/den; a difference leaves zero out.
// A factor below one is kept as a division, which gives the same float64 as the decimal in SI: 560 mm is 0.56 m.
type unit struct {
	dim            Dimension
	symbol         string // as Format prints it
	num, den, zero float64
	spellings      []string // further ways to write it, after plain has been applied
}

func (u unit) toSI(n float64) float64           { return u.differenceToSI(n - u.zero) }
func (u unit) differenceToSI(n float64) float64 { return n * u.num / u.den }
func (u unit) fromSI(si float64) float64        { return float64(u.differenceFromSI(si)) + u.zero }

func (u unit) differenceFromSI(si float64) float64 { return si * u.den / u.num }

// Exact by definition: the international foot and pound, the US liquid gallon of 231 cubic inches, standard gravity,
// the conventional water of 1000 kg/m³ and the standard atmosphere (NIST SP 811, appendix B; from memory).
const (
	inch      = 0.0254
	foot      = 12 * inch
	gallonUS  = 231 * inch * inch * inch
	psi       = 0.45359237 * 9.80665 / (inch * inch)
	waterHead = 1000 * 9.80665 // Pa per metre
	minute    = 60
	hour      = 3600
	day       = 86400
)

// kvPerCv is the flow capacity Kv of a valve whose Cv is one: 1 US gpm at 1 psi, told in m³/h at 1 bar (IEC 60534-2-1).
var kvPerCv = gallonUS / minute * hour / math.Sqrt(psi/1e5)

func also(spellings ...string) []string { return spellings }

// units lists every unit once for each dimension it can stand for. The first of a dimension is the one its example
// uses.
var units = []unit{
	{None, "", 1, 1, 0, nil},
	{Count, "", 1, 1, 0, nil},
	{State, "", 1, 1, 0, nil},
	{Fraction, "%", 1, 100, 0, also("percent")},

	{Pressure, "bar", 1e5, 1, 0, also("Bar", "BAR", "barg")},
	{Pressure, "mbar", 100, 1, 0, nil},
	{Pressure, "Pa", 1, 1, 0, nil},
	{Pressure, "hPa", 100, 1, 0, nil},
	{Pressure, "kPa", 1000, 1, 0, also("KPa", "kpa", "KPA")},
	{Pressure, "MPa", 1e6, 1, 0, nil},
	{Pressure, "psi", psi, 1, 0, also("PSI", "Psi", "psig", "lbf/in2")},
	{Pressure, "atm", 101325, 1, 0, nil},
	{Pressure, "mH2O", waterHead, 1, 0, also("m H2O", "mWC", "m WC", "mwc")},
	{Pressure, "ftH2O", waterHead * foot, 1, 0, also("ft H2O")},
	{Pressure, "inH2O", waterHead * inch, 1, 0, also("in H2O")},

	{Flow, "L/min", 1, 1000 * minute, 0, also("l/min", "lpm", "LPM")},
	{Flow, "L/h", 1, 1000 * hour, 0, also("l/h", "L/hr", "l/hr", "lph", "LPH")},
	{Flow, "L/s", 1, 1000, 0, also("l/s", "lps", "LPS")},
	{Flow, "L/day", 1, 1000 * day, 0, also("l/day", "L/d", "l/d")},
	{Flow, "mL/min", 1, 1e6 * minute, 0, also("ml/min")},
	{Flow, "mL/h", 1, 1e6 * hour, 0, also("ml/h")},
	{Flow, "mL/s", 1, 1e6, 0, also("ml/s")},
	{Flow, "m³/h", 1, hour, 0, also("m3/hr")},
	{Flow, "m³/s", 1, 1, 0, nil},
	{Flow, "m³/min", 1, minute, 0, nil},
	{Flow, "m³/day", 1, day, 0, also("m3/d")},
	{Flow, "gpm", gallonUS, minute, 0, also("GPM", "gal/min", "US gpm")},
	{Flow, "gph", gallonUS, hour, 0, also("GPH", "gal/h", "gal/hr", "US gph")},
	{Flow, "gpd", gallonUS, day, 0, also("GPD", "gal/day", "gal/d", "US gpd")},
	{Flow, "ft³/s", foot * foot * foot, 1, 0, also("cfs")},
	{Flow, "ft³/min", foot * foot * foot, minute, 0, also("cfm")},

	{Length, "mm", 1, 1000, 0, nil},
	{Length, "cm", 1, 100, 0, nil},
	{Length, "m", 1, 1, 0, also("metre", "metres", "meter", "meters")},
	{Length, "in", 254, 1e4, 0, also(`"`, "inch", "inches")},
	{Length, "ft", 3048, 1e4, 0, also("'", "foot", "feet")},
	{Length, "dm", 1, 10, 0, nil},
	{Length, "km", 1000, 1, 0, nil},
	{Length, "µm", 1, 1e6, 0, also("um")},
	{Length, "yd", 9144, 1e4, 0, nil},

	{Area, "m²", 1, 1, 0, also("sq m")},
	{Area, "cm²", 1, 1e4, 0, nil},
	{Area, "mm²", 1, 1e6, 0, nil},
	{Area, "ha", 1e4, 1, 0, nil},
	{Area, "ft²", foot * foot, 1, 0, also("sq ft")},
	{Area, "in²", inch * inch, 1, 0, also("sq in")},
	{Area, "acre", 43560 * foot * foot, 1, 0, also("acres")},

	{Volume, "L", 1, 1000, 0, also("l", "litre", "litres", "liter", "liters")},
	{Volume, "mL", 1, 1e6, 0, also("ml")},
	{Volume, "m³", 1, 1, 0, nil},
	{Volume, "dm³", 1, 1000, 0, nil},
	{Volume, "cm³", 1, 1e6, 0, nil},
	{Volume, "gal", gallonUS, 1, 0, also("US gal", "gallon", "gallons", "US gallon", "US gallons")},
	{Volume, "fl oz", gallonUS, 128, 0, also("US fl oz")},
	{Volume, "ft³", foot * foot * foot, 1, 0, also("cu ft")},

	{Duration, "min", minute, 1, 0, also("mins", "minute", "minutes")},
	{Duration, "s", 1, 1, 0, also("sec", "secs", "second", "seconds")},
	{Duration, "ms", 1, 1000, 0, nil},
	{Duration, "h", hour, 1, 0, also("hr", "hrs", "hour", "hours")},
	{Duration, "d", day, 1, 0, also("day", "days")},
	{Duration, "µs", 1, 1e6, 0, also("us")},
	{Duration, "ns", 1, 1e9, 0, nil},

	{Voltage, "V", 1, 1, 0, also("volt", "volts")},
	{Voltage, "mV", 1, 1000, 0, nil},
	{Voltage, "µV", 1, 1e6, 0, also("uV")},
	{Voltage, "kV", 1000, 1, 0, nil},

	{Current, "A", 1, 1, 0, also("amp", "amps")},
	{Current, "mA", 1, 1000, 0, nil},
	{Current, "µA", 1, 1e6, 0, also("uA")},
	{Current, "nA", 1, 1e9, 0, nil},

	{Resistance, "kΩ", 1000, 1, 0, also("kohm", "kOhm")},
	{Resistance, "Ω", 1, 1, 0, also("ohm", "Ohm", "ohms", "Ohms")},
	{Resistance, "MΩ", 1e6, 1, 0, also("Mohm", "MOhm")},
	{Resistance, "mΩ", 1, 1000, 0, also("mohm", "mOhm")},

	{Temperature, "°C", 1, 1, 0, also("C", "degC", "deg C")},
	{Temperature, "°F", 5, 9, 32, also("F", "degF", "deg F")},
	{Temperature, "K", 1, 1, 273.15, nil},

	{Velocity, "m/s", 1, 1, 0, nil},
	{Velocity, "mm/s", 1, 1000, 0, nil},
	{Velocity, "km/h", 1, 3.6, 0, nil},
	{Velocity, "ft/s", 3048, 1e4, 0, also("fps")},
	{Velocity, "mph", 0.44704, 1, 0, nil},

	{Depth, "mm/day", 1, 1000 * day, 0, also("mm/d")},
	{Depth, "mm/h", 1, 1000 * hour, 0, also("mm/hr")},
	{Depth, "mm/min", 1, 1000 * minute, 0, nil},
	{Depth, "m/s", 1, 1, 0, nil},
	{Depth, "in/h", 254, 1e4 * hour, 0, also("in/hr")},
	{Depth, "in/day", 254, 1e4 * day, 0, also("in/d")},

	{Capacity, "m³/h", 1, 1, 0, also("m3/hr", "Kv")},
	{Capacity, "Cv", kvPerCv, 1, 0, nil},

	{Frequency, "Hz", 1, 1, 0, nil},
	{Frequency, "kHz", 1000, 1, 0, nil},
	{Frequency, "MHz", 1e6, 1, 0, nil},

	{Charge, "Ah", hour, 1, 0, nil},
	{Charge, "mAh", hour, 1000, 0, nil},
	{Charge, "C", 1, 1, 0, nil},

	{Capacitance, "µF", 1, 1e6, 0, also("uF")},
	{Capacitance, "mF", 1, 1000, 0, nil},
	{Capacitance, "F", 1, 1, 0, nil},
}

// refused explains the units that are left out because they would be misread.
var refused = []struct{ spelling, reason string }{
	{"imp gal", imperial}, {"Imp gal", imperial}, {"UK gal", imperial}, {"imperial gal", imperial}, {"Imperial gal",
		imperial},
	{"imperial gallons", imperial}, {"Imperial gallons", imperial}, {"UK gallons", imperial}, {"igal", imperial},
	{"imp gpm", imperial}, {"Imp gpm", imperial}, {"UK gpm", imperial}, {"igpm", imperial}, {"imp gph",
		imperial}, {"UK gph", imperial},
	{"bara", absolute}, {"bar(a)", absolute}, {"psia", absolute},
}

const (
	imperial = "Imperial gallons are not supported: gal, gpm and gph are US; write litres (an Imperial gallon is 4.54609 L)"
	absolute = "pressures are gauge pressures here: subtract the atmosphere (1 atm) and write bar or psi"
)

// about is what the program says of a dimension in words.
type about struct{ name, si, examples string }

var abouts = [...]about{
	None:        {"number", "", "0.5"},
	Count:       {"count", "", "3"},
	State:       {"state", "", "1 or 0"},
	Fraction:    {"share", "", "18 %"},
	Pressure:    {"pressure", "Pa", "2.4 bar or 35 psi"},
	Flow:        {"flow", "m³/s", "12 L/min, 2 L/h or 3 gpm"},
	Length:      {"length", "m", "560 mm, 28 m or 3/4 in"},
	Area:        {"area", "m²", "12 m2 or 130 ft2"},
	Volume:      {"volume", "m³", "400 L or 105 gal"},
	Duration:    {"duration", "s", "250 ms, 6 min or 2 h 30 min"},
	Voltage:     {"voltage", "V", "3.3 V"},
	Current:     {"current", "A", "350 mA"},
	Resistance:  {"resistance", "Ω", "10 kohm"},
	Temperature: {"temperature", "°C", "20 °C or 68 °F"},
	Velocity:    {"velocity", "m/s", "1.5 m/s or 5 ft/s"},
	Depth:       {"depth of water per time", "m/s", "4 mm/day or 0.5 in/h"},
	Capacity:    {"flow capacity", "m³/h", "2.5 m3/h or 2.9 Cv"},
	Frequency:   {"frequency", "Hz", "50 Hz"},
	Charge:      {"electric charge", "C", "2.2 Ah or 800 mAh"},
	Capacitance: {"capacitance", "F", "2200 uF"},
}

func (d Dimension) about() about {
	if int(d) >= len(abouts) {
		return abouts[None]
	}
	return abouts[d]
}

// Name says what the dimension measures, in the singular and without an article: "pressure", "flow capacity".
func Name(d Dimension) string { return d.about().name }

// Unit is the symbol of the unit that the program calculates in, empty for pure numbers: Pa, m³/s, °C.
func Unit(d Dimension) string { return d.about().si }

// Examples shows how a quantity of the dimension is written: "560 mm, 28 m or 3/4 in".
func Examples(d Dimension) string { return d.about().examples }

// TradeUnit is the one metric unit that tables and plots use for the dimension: the number there is (si -
// offset)/factor.
func TradeUnit(d Dimension) (symbol string, factor, offset float64) {
	symbol = Unit(d)
	switch d {
	case Fraction:
		symbol = "%"
	case Pressure:
		symbol = "bar"
	case Flow:
		symbol = "L/min"
	case Length:
		symbol = "mm"
	case Volume:
		symbol = "L"
	case Depth:
		symbol = "mm/h"
	}
	u, ok := lookup(symbol, d)
	if !ok {
		return symbol, 1, 0
	}
	return symbol, u.num / u.den, u.toSI(0)
}

// spelled finds a unit by its dimension and each of its spellings.
var spelled = func() map[written]unit {
	index := make(map[written]unit)
	for _, u := range units {
		index[written{u.dim, u.symbol}] = u
		for _, text := range u.texts() {
			index[written{u.dim, text}] = u
		}
	}
	return index
}()

type written struct {
	dim  Dimension
	text string
}

// texts are the ways to write the unit after plain has been applied.
func (u unit) texts() []string { return append([]string{plain(u.symbol)}, u.spellings...) }

// lookup finds the unit of the dimension that is spelled so.
func lookup(text string, d Dimension) (unit, bool) {
	u, ok := spelled[written{d, text}]
	return u, ok
}
