package quantity_test

import (
	"fmt"
	"strings"

	"ullage/harness/quantity"
)

// A figure is read with the unit that is printed on the part, and is SI from then on.
func ExampleParse() {
	v, err := quantity.Parse("35 psi ± 2 psi", quantity.Pressure)
	fmt.Printf("%.0f Pa, tolerance %.0f Pa, %v\n", v.SI, v.Tolerance, err)
	_, err = quantity.Parse("35 pounds", quantity.Pressure)
	first, _, _ := strings.Cut(err.Error(), " (units:")
	fmt.Println(first)
	// Output:
	// 241317 Pa, tolerance 13790 Pa, <nil>
	// "35 pounds": unknown unit "pounds"; expected a pressure, e.g. 2.4 bar or 35 psi
}

// The same figure for readers of two countries.
func ExampleFormatIn() {
	fmt.Println(quantity.FormatIn(241317, quantity.Pressure, quantity.Metric))
	fmt.Println(quantity.FormatIn(241317, quantity.Pressure, quantity.US))
	// Output:
	// 2.413 bar
	// 35 psi
}
