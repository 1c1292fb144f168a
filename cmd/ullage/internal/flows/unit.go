package flows

import (
	"fmt"
	"math"
	"strconv"

	"ullage/harness/quantity"
)

// The figures of a Report: SI inside, in JSON the unit that stands in their keys, to six digits.
type (
	Pressure float64 // Pa above the air; in JSON bar
	Flow     float64 // m³/s; in JSON L/min
	Length   float64 // m; in JSON mm
	Volume   float64 // m³; in JSON L
	Velocity float64 // m/s
	Seconds  float64 // s
	Depth    float64 // m/s, water a time; in JSON mm/h
	Share    float64 // of a whole; in JSON percent
)

func (x Pressure) MarshalJSON() ([]byte, error) { return figure(float64(x), quantity.Pressure, "bar") }
func (x Flow) MarshalJSON() ([]byte, error)     { return figure(float64(x), quantity.Flow, "L/min") }
func (x Length) MarshalJSON() ([]byte, error)   { return figure(float64(x), quantity.Length, "mm") }
func (x Volume) MarshalJSON() ([]byte, error)   { return figure(float64(x), quantity.Volume, "L") }
func (x Velocity) MarshalJSON() ([]byte, error) { return figure(float64(x), quantity.Velocity, "m/s") }
func (x Seconds) MarshalJSON() ([]byte, error)  { return figure(float64(x), quantity.Duration, "s") }
func (x Depth) MarshalJSON() ([]byte, error)    { return figure(float64(x), quantity.Depth, "mm/h") }
func (x Share) MarshalJSON() ([]byte, error)    { return figure(float64(x), quantity.Fraction, "%") }

// figure writes a number for JSON. What is no number cannot be written: there is none in a Report.
func figure(si float64, dim quantity.Dimension, symbol string) ([]byte, error) {
	n := quantity.In(si, dim, symbol)
	if math.IsNaN(n) || math.IsInf(n, 0) {
		return nil, fmt.Errorf("a %s of %v has no JSON", quantity.Name(dim), si)
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(n, 'g', 6, 64), 64)
	return strconv.AppendFloat(nil, rounded, 'f', -1, 64), nil
}

// column is how a table prints one kind of figure.
type column struct {
	dim      quantity.Dimension
	symbol   string
	decimals int
}

// columns are the units of the tables.
type columns struct {
	pressure, flow, drip, length, bore, height, volume, velocity, depth, rain column
}

// trade chooses the units of a system.
func trade(system quantity.System) columns {
	if system == quantity.US {
		return columns{
			pressure: column{quantity.Pressure, "psi", 1}, flow: column{quantity.Flow, "gpm",
				2}, drip: column{quantity.Flow, "gph", 3},
			length: column{quantity.Length, "in", 1}, bore: column{quantity.Length, "in",
				3}, height: column{quantity.Length, "ft", 1},
			volume: column{quantity.Volume, "gal", 0}, velocity: column{quantity.Velocity, "ft/s",
				2}, depth: column{quantity.Depth, "in/h", 2}, rain: column{quantity.Length, "in", 2}}
	}
	return columns{
		pressure: column{quantity.Pressure, "bar", 2}, flow: column{quantity.Flow, "L/min",
			1}, drip: column{quantity.Flow, "L/h", 2},
		length: column{quantity.Length, "mm", 0}, bore: column{quantity.Length, "mm",
			1}, height: column{quantity.Length, "m", 2},
		volume: column{quantity.Volume, "L", 0}, velocity: column{quantity.Velocity, "m/s",
			2}, depth: column{quantity.Depth, "mm/h", 1}, rain: column{quantity.Length, "mm", 0}}
}

// number prints a figure without its unit; minus zero is zero.
func (c column) number(si float64) string {
	text := strconv.FormatFloat(quantity.In(si, c.dim, c.symbol), 'f', c.decimals, 64)
	if n, _ := strconv.ParseFloat(text, 64); n == 0 && text[0] == '-' {
		return text[1:]
	}
	return text
}

// text prints a figure with its unit.
func (c column) text(si float64) string { return c.number(si) + " " + c.symbol }
