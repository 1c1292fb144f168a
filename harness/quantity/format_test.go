package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		si   float64
		dim  Dimension
		want string
	}{
		{2.4e5, Pressure, "2.4 bar"}, {241316.50510254, Pressure, "2.413 bar"}, {1e4, Pressure, "0.1 bar"},
		{5600, Pressure, "56 mbar"}, {12, Pressure, "12 Pa"}, {0, Pressure, "0 bar"}, {-2e4, Pressure, "-0.2 bar"},
		{0.56, Length, "560 mm"}, {0.99996, Length, "1 m"}, {0.9994, Length, "999.4 mm"}, {28, Length, "28 m"},
		{0.0006, Length, "600 µm"}, {1234.4, Length, "1234 m"}, {15000, Length, "15 km"}, {0, Length, "0 mm"},
		{20.0 / 60000, Flow, "20 L/min"}, {2.0 / 3.6e6, Flow, "2 L/h"}, {59.999 / 3.6e6, Flow, "1 L/min"},
		{1.0 / 60, Flow, "60 m³/h"}, {1e-10, Flow, "0.36 mL/h"}, {0, Flow, "0 L/min"},
		{0.4, Volume, "400 L"}, {0.00025, Volume, "250 mL"}, {12, Volume, "12 m³"},
		{0.18, Fraction, "18 %"}, {1, Fraction, "100 %"}, {0.00123, Fraction, "0.123 %"},
		{0.00025, Duration, "250 µs"}, {0.25, Duration, "250 ms"}, {0.99996, Duration, "1 s"}, {12.3456, Duration,
			"12.35 s"},
		{59.99, Duration, "59.99 s"}, {59.9999, Duration, "1 min"}, {360, Duration, "6 min"}, {365, Duration,
			"6 min 5 s"},
		{365.26, Duration, "6 min 5.3 s"}, {-365, Duration, "-6 min 5 s"}, {3599.96, Duration, "1 h"}, {9000, Duration,
			"2 h 30 min"},
		{3605, Duration, "1 h 5 s"}, {86399.7, Duration, "1 d"}, {90000, Duration, "1 d 1 h"}, {1e20, Duration,
			"1.157e+15 d"}, {0, Duration, "0 s"},
		{3.3, Voltage, "3.3 V"}, {0.35, Current, "350 mA"}, {2e-5, Current, "20 µA"}, {1e4, Resistance, "10 kΩ"}, {47,
			Resistance, "47 Ω"},
		{20, Temperature, "20 °C"}, {-3.25, Temperature, "-3.25 °C"},
		{1.5, Velocity, "1.5 m/s"}, {0.004, Velocity, "4 mm/s"}, {0.004 / 86400, Depth, "4 mm/day"}, {0.012 / 3600,
			Depth, "12 mm/h"},
		{2.5, Capacity, "2.5 m³/h"}, {50, Frequency, "50 Hz"}, {12, Area, "12 m²"}, {0.000314159, Area, "3.142 cm²"},
		{3, Count, "3"}, {1, State, "1"}, {0.123456, None, "0.1235"}, {123456.7, None, "123457"}, {1e-9, None, "1e-09"},
		{math.Copysign(0, -1), Pressure, "0 bar"}, {math.Copysign(0, -1), Duration, "0 s"}, {math.Copysign(0, -1), None,
			"0"},
		{math.Inf(1), Pressure, "∞ bar"}, {math.Inf(-1), Length, "-∞ mm"}, {math.Inf(1), Duration, "∞ s"}, {math.Inf(1),
			None, "∞"},
		{math.NaN(), Pressure, "no value"}, {math.NaN(), Duration, "no value"},
	} {
		assert.Equal(t, c.want, Format(c.si, c.dim), "%v of %s", c.si, Name(c.dim))
	}
}

func TestFormatUS(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"35 psi", "35 psi"}, {"2.4 bar", "34.81 psi"},
	} {
		v, err := Parse(c.text, Pressure)
		require.NoError(t, err)
		assert.Equal(t, c.want, FormatIn(v.SI, Pressure, US))
	}
	for _, c := range []struct {
		si   float64
		dim  Dimension
		want string
	}{
		{10 * 3.785411784e-3 / 60, Flow, "10 gpm"}, {2 * 3.785411784e-3 / 3600, Flow, "2 gph"}, {0, Flow, "0 gpm"},
		{0.01905, Length, "0.75 in"}, {3.048, Length, "10 ft"}, {0.39746823732, Volume, "105 gal"}, {0.0001, Volume,
			"3.381 fl oz"},
		{20, Temperature, "68 °F"}, {0, Temperature, "32 °F"}, {0.864977655, Capacity, "1 Cv"}, {0.0127 / 3600, Depth,
			"12 in/day"},
		{360, Duration, "6 min"}, {3.3, Voltage, "3.3 V"}, {math.Inf(1), Volume, "∞ gal"},
	} {
		assert.Equal(t, c.want, FormatIn(c.si, c.dim, US), "%v of %s", c.si, Name(c.dim))
	}
	assert.Equal(t, "9 °F", FormatDifferenceIn(5, Temperature, US), "a margin of 5 °C")
	assert.Equal(t, "5 °C", FormatDifferenceIn(5, Temperature, Metric))
	assert.Equal(t, "0.2 bar", FormatDifferenceIn(2e4, Pressure, Metric))
}

func TestTradeUnit(t *testing.T) {
	for _, c := range []struct {
		dim    Dimension
		symbol string
		factor float64
	}{
		{Pressure, "bar", 1e5}, {Flow, "L/min", 1.0 / 60000}, {Length, "mm", 1e-3}, {Volume, "L", 1e-3}, {Duration, "s",
			1},
		{Fraction, "%", 0.01}, {Voltage, "V", 1}, {Temperature, "°C", 1}, {Depth, "mm/h", 1 / 3.6e6}, {Capacity, "m³/h",
			1},
		{Count, "", 1}, {None, "", 1}, {Area, "m²", 1}, {Resistance, "Ω", 1},
	} {
		symbol, factor, offset := TradeUnit(c.dim)
		assert.Equal(t, c.symbol, symbol)
		assert.InEpsilon(t, c.factor, factor, 1e-15, symbol)
		assert.Zero(t, offset, "%s has its zero where SI has it", symbol)
	}
}

func drawDimension(t *rapid.T) Dimension {
	return Dimension(rapid.IntRange(0, len(abouts)-1).Draw(t, "dimension"))
}

// drawSize draws magnitudes evenly by their exponent, both signs.
func drawSize(t *rapid.T, dim Dimension, lowest, highest float64) float64 {
	if dim == Count {
		return float64(rapid.IntRange(0, 1e9).Draw(t, "count"))
	}
	if dim == State {
		return float64(rapid.IntRange(0, 1).Draw(t, "state"))
	}
	size := math.Pow(10, rapid.Float64Range(lowest, highest).Draw(t, "exponent"))
	if rapid.Bool().Draw(t, "negative") {
		return -size
	}
	return size
}

// What is printed is read back as the same number, to the precision that is shown, and printed the same again.
func TestFormatIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := drawDimension(t)
		system := System(rapid.IntRange(0, 1).Draw(t, "system"))
		si := drawSize(t, dim, -12, 12)
		text := FormatIn(si, dim, system)
		v, err := Parse(text, dim)
		if err != nil {
			t.Fatalf("%v %s is printed as %s: %v", si, Unit(dim), text, err)
		}
		precision := 5.001e-4 * math.Abs(si)
		if dim == Duration && math.Abs(si) > minute {
			precision = math.Max(precision, 0.0501)
		}
		if dim == Temperature && system == US {
			precision = 5.001e-4 * (math.Abs(si) + 18)
		}
		if math.Abs(v.SI-si) > precision {
			t.Fatalf("%v %s is printed as %s, which is %v", si, Unit(dim), text, v.SI)
		}
		if again := FormatIn(v.SI, dim, system); again != text {
			t.Fatalf("%v %s is printed as %s, which is printed as %s", si, Unit(dim), text, again)
		}
	})
}

// Write loses nothing, and is plain where it can be.
func TestWriteIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := drawDimension(t)
		v := Value{SI: drawSize(t, dim, -200, 200)}
		if dim != Count && dim != State && rapid.Bool().Draw(t, "toleranced") {
			v.Tolerance = math.Abs(drawSize(t, dim, -200, 200))
		}
		text := Write(v, dim)
		back, err := Parse(text, dim)
		if err != nil {
			t.Fatalf("%v is written as %s: %v", v, text, err)
		}
		if math.Abs(back.SI-v.SI) > 1e-12*math.Abs(v.SI) || math.Abs(back.Tolerance-v.Tolerance) > 1e-12*v.Tolerance {
			t.Fatalf("%v is written as %s and read back as %v", v, text, back)
		}
	})
	for text, dim := range map[string]Dimension{
		"2.4 bar": Pressure, "560 mm ± 10 mm": Length, "6 min 5 s": Duration, "18 %": Fraction, "-3.5 °C": Temperature, "2.123456789 L/min": Flow,
	} {
		v, err := Parse(text, dim)
		require.NoError(t, err)
		assert.Equal(t, text, Write(v, dim))
	}
}
