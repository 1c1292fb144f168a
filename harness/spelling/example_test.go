package spelling_test

import (
	"fmt"

	"ullage/harness/spelling"
)

func ExampleNearest() {
	fmt.Println(spelling.Nearest("headr-tank", []string{"sump", "header-tank", "meter"}))
	// Output: header-tank
}
