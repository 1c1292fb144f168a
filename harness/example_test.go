package harness_test

import (
	"fmt"

	"ullage/harness"
	"ullage/harness/sitefile"
)

// A pin is a source of volts behind a resistance; what the controller reads is decided by its board. A broken lead is
// an open circuit, and a contact that corrodes is a resistance: neither is a special case.
func ExampleInput() {
	in := harness.Input{Rail: 3.3, PullUp: 10e3, Leak: 1e12, Low: 0.8, High: 2}
	for _, p := range []struct {
		what string
		pin  harness.Pin
	}{
		{"closed contact", harness.Pin{Ohms: 2}},
		{"corroded to 5 kohm", harness.Pin{Ohms: 5e3}},
		{"broken lead", harness.Open(0, 0)},
	} {
		fmt.Printf("%s: %.2f V\n", p.what, in.Volts(p.pin, 0))
	}
	// Output:
	// closed contact: 0.00 V
	// corroded to 5 kohm: 1.10 V
	// broken lead: 3.30 V
}

// A draw has no state: a further reader shifts nothing.
func ExampleDraw() {
	draw := harness.NewDraw(1, "A worn contact")
	again := harness.NewDraw(1, "A worn contact")
	_ = again.Uniform("tank-low", "bounce", 0)
	fmt.Println(draw.Uniform("tank-high", "bounce", 7) == again.Uniform("tank-high", "bounce", 7))
	// Output: true
}

// The terminals of a controller are those of its site file, with its supply last.
func ExampleTerminals() {
	site := &sitefile.Site{Controller: sitefile.Controller{Terminals: []sitefile.Terminal{
		{Terminal: "OUT1", Output: "top-up"}, {Terminal: "IN1", Contact: "tank-low"}}}}
	for _, t := range harness.Terminals(site) {
		fmt.Println(t.Name, t.Kind)
	}
	// Output:
	// top-up output
	// tank-low contact
	// power power
}
