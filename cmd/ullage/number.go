package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"ullage/harness/quantity"
)

// number is a flag that takes a whole number, and none below the least.
type number struct {
	to    *int
	least int
}

// numberVar adds such a flag.
func numberVar(f *pflag.FlagSet, to *int, name string, usual, least int, usage string) {
	*to = usual
	f.Var(number{to, least}, name, usage)
}

// Set reads the flag. The error says what was expected; pflag says before it what was read and for which flag.
func (n number) Set(text string) error {
	v, err := strconv.Atoi(text)
	if err != nil || v < n.least {
		return fmt.Errorf("expected a whole number, %d or more", n.least)
	}
	*n.to = v
	return nil
}

// String is the number as it is written.
func (n number) String() string {
	if n.to == nil { // pflag asks a number that is zero for its usual value
		return "0"
	}
	return strconv.Itoa(*n.to)
}

// Type is what help calls the value.
func (number) Type() string { return "number" }

// seed is a flag that takes a random seed.
type seed struct{ to *uint64 }

// Set reads the flag, as number does.
func (s seed) Set(text string) error {
	v, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return fmt.Errorf("expected a whole number, 0 to %d", uint64(math.MaxUint64))
	}
	*s.to = v
	return nil
}

// String is the seed as it is written.
func (s seed) String() string {
	if s.to == nil {
		return "0"
	}
	return strconv.FormatUint(*s.to, 10)
}

// Type is what help calls the value.
func (seed) Type() string { return "number" }

// tags is a flag that takes a tag expression. An empty one, such as from a variable of CI that is not set, would
// choose everything.
type tags struct{ to *string }

// Set takes the expression as it is.
func (e tags) Set(text string) error {
	if strings.TrimSpace(text) == "" {
		return errors.New("expected a tag expression; without the flag all scenarios are selected")
	}
	*e.to = text
	return nil
}

// String is the expression as it is written.
func (e tags) String() string {
	if e.to == nil {
		return ""
	}
	return *e.to
}

// Type is what help calls the value.
func (tags) Type() string { return "expression" }

// wait is a flag that takes a time by the wall clock, above zero.
type wait struct{ to *time.Duration }

// Set reads the flag, as number does.
func (w wait) Set(text string) error {
	v, err := time.ParseDuration(text)
	if err != nil || v <= 0 {
		return errors.New("expected a time above zero, as 90s or 2m")
	}
	*w.to = v
	return nil
}

// String is the time as it is written.
func (w wait) String() string {
	if w.to == nil {
		return "0"
	}
	return w.to.String()
}

// Type is what help calls the value.
func (wait) Type() string { return "time" }

// amount is a flag that takes a quantity above 0.
type amount struct {
	to   *float64 // SI
	dim  quantity.Dimension
	text string // as it is written
}

// Set reads the flag, as number does.
func (a *amount) Set(text string) error {
	v, err := quantity.Parse(text, a.dim)
	if err == nil && v.SI <= 0 {
		err = fmt.Errorf("expected a %s above 0", quantity.Name(a.dim))
	}
	if err != nil {
		return err
	}
	*a.to, a.text = v.SI, text
	return nil
}

// String is the quantity as it is written.
func (a *amount) String() string { return a.text }

// Type is what help calls the value.
func (a *amount) Type() string { return quantity.Name(a.dim) }
