package quantity

// In is an SI value as a number of units: In(2.4e5, Pressure, "bar") is 2.4. A symbol that is no unit of the dimension
// is a mistake of the program and panics.
func In(si float64, dim Dimension, symbol string) float64 {
	u, ok := lookup(symbol, dim)
	if !ok {
		panic("quantity: " + symbol + " is no unit of a " + Name(dim))
	}
	return u.fromSI(si)
}
