// Package accuracy keeps the table of DEVELOPERS.md that says how close the computations come to what others have
// published. A test that checks a computation owns one row of it: the row is compared with what the test has measured,
// so that the table cannot go stale. Only tests import this package.
//
// It is no API: only tests of this project use it.
package accuracy

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update-accuracy", false, "write the measured deviations into DEVELOPERS.md")

// Row is one row of the table.
type Row struct {
	Computation string // what is computed; names the row
	Equation    string // the equations that the program solves
	// author, year, where the values to compare with stand, and whether they are verified, recomputed or from memory
	Source    string
	Tolerance float64 // greatest deviation allowed
	Unit      string  // of tolerance and deviation; "" for a share of the value
}

// Check collects the comparisons of one row.
type Check struct {
	t     testing.TB
	row   Row
	worst float64
	count int
}

// New begins a row. When the test ends, the row is compared with the one in DEVELOPERS.md.
func New(t testing.TB, row Row) *Check {
	c := &Check{t: t, row: row}
	t.Cleanup(c.compare)
	return c
}

// Near compares a value with the published one and fails the test when the deviation is above the row's tolerance.
func (c *Check) Near(want, got float64, what string, args ...any) {
	c.t.Helper()
	off := math.Abs(got - want)
	if c.row.Unit == "" && want != 0 {
		off /= math.Abs(want)
	}
	c.count++
	c.worst = math.Max(c.worst, off)
	if !(off <= c.row.Tolerance) {
		c.t.Errorf("%s: %s is %.8g, published %.8g: off by %s, allowed %s", c.row.Computation,
			fmt.Sprintf(what, args...), got, want,
			c.figure(off), c.figure(c.row.Tolerance))
	}
}

// figure prints a deviation to two digits; what is no more than rounding is not told apart.
func (c *Check) figure(x float64) string {
	switch {
	case x < 1e-9:
		return "below 1e-9"
	case c.row.Unit == "":
		return fmt.Sprintf("%.2g of the value", x)
	}
	return fmt.Sprintf("%.2g %s", x, c.row.Unit)
}

// line is the row as it stands in the table.
func (c *Check) line() string {
	cell := func(s string) string { return strings.ReplaceAll(s, "|", "\\|") }
	return fmt.Sprintf("| %s | %s | %s | %s | %s |", cell(c.row.Computation), cell(c.row.Equation), cell(c.row.Source),
		c.figure(c.row.Tolerance), c.figure(c.worst))
}

// compare holds the measured row against the written one.
func (c *Check) compare() {
	if c.count == 0 {
		c.t.Errorf("%s: nothing was compared", c.row.Computation)
	}
	if c.t.Failed() {
		return
	}
	path := developers()
	text, err := os.ReadFile(path)
	if err != nil {
		c.t.Fatal(err)
	}
	lines := strings.Split(string(text), "\n")
	at := -1
	end := -1
	for i, l := range lines {
		if strings.HasPrefix(l, "| "+c.row.Computation+" |") {
			at = i
		}
		if strings.HasPrefix(l, Heading) {
			end = i + 2
			for end < len(lines) && strings.HasPrefix(lines[end], "|") {
				end++
			}
		}
	}
	switch line := c.line(); {
	case at >= 0 && lines[at] == line:
	case !*update:
		c.t.Errorf(
			"DEVELOPERS.md does not say what was measured; expected the row\n%s\nrenew it in the folder of this test with: go test -run %s -update-accuracy",
			line,
			c.t.Name(),
		)
	case end < 0:
		c.t.Errorf("DEVELOPERS.md has no table that begins with %q", Heading)
	default:
		if at >= 0 {
			lines[at] = line
		} else {
			lines = append(lines[:end], append([]string{line}, lines[end:]...)...)
		}
		if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o644); err != nil {
			c.t.Fatal(err)
		}
	}
}

// Heading is the first line of the table.
const Heading = "| computation | equation | source | tolerance | largest deviation |"

// developers is the path of DEVELOPERS.md, which stands beside go.mod in a folder above that of the test.
func developers() string {
	above := "."
	for range 16 {
		if _, err := os.Stat(filepath.Join(above, "go.mod")); err == nil {
			break
		}
		above = filepath.Join(above, "..")
	}
	return filepath.Join(above, "DEVELOPERS.md")
}
