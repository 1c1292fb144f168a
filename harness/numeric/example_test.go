package numeric_test

import (
	"fmt"

	"ullage/harness/numeric"
)

// A power that is wanted often has its table made once.
func ExampleNewPower() {
	friction := numeric.NewPower(1.852) // of Hazen and Williams
	fmt.Printf("%.6f\n", friction.Of(2))
	// Output: 3.610003
}
