package main

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A number that makes no sense is refused before anything runs, with what was read and what was expected.
func TestNumbersOutOfRange(t *testing.T) {
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"sweep", "otter-pool", "--pairs", "-1"}, `invalid argument "-1" for "--pairs" flag: expected a whole number, 0 or more`},
		{[]string{"sweep", "otter-pool", "--seeds", "0"}, `invalid argument "0" for "--seeds" flag: expected a whole number, 1 or more`},
		{[]string{"sweep", "otter-pool", "--jobs", "-3"}, `invalid argument "-3" for "--jobs" flag: expected a whole number, 1 or more`},
		{[]string{"sweep", "otter-pool", "--pairs", "many"}, `invalid argument "many" for "--pairs" flag: expected a whole number, 0 or more`},
		{[]string{"run", "--jobs", "0"}, `invalid argument "0" for "--jobs" flag: expected a whole number, 1 or more`},
		{[]string{"run", "--timeout", "-1s"}, `invalid argument "-1s" for "--timeout" flag: expected a time above zero`},
		{[]string{"run", "--seed", "-1"}, `invalid argument "-1" for "--seed" flag: expected a whole number, 0 to 18446744073709551615`},
		{[]string{"run", "--tags", ""}, `invalid argument "" for "--tags" flag: expected a tag expression; without the flag all`},
		{[]string{"check", "--tags= "}, `invalid argument " " for "--tags" flag: expected a tag expression`},
		{[]string{"challenge", "--jobs", "-1"}, `invalid argument "-1" for "--jobs" flag: expected a whole number, 1 or more; see ullage challenge --help`},
	} {
		var out, errOut bytes.Buffer
		assert.Equal(t, exitBroken, execute(context.Background(), c.args, &out, &errOut), "%v", c.args)
		assert.Contains(t, errOut.String(), c.says)
	}
}
