package stand_test

import (
	"context"
	"fmt"

	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

func TestTry(t *testing.T) {
	s := read(t, "tern-lane")
	build := stand.Builder(func(string) (*sitefile.Site, error) { return s, nil }, stand.Simulated())
	script := &harness.Script{Name: "day", Site: "tern-lane", End: harness.Moment{Plus: signal.Day}}
	st, err := build(script)
	require.NoError(t, err)
	run, err := st.Run(context.Background(), script)
	for i, sig := range run.Trace.Signals() {
		c := run.Trace.Column(signal.ID(i))
		fmt.Print(sig.Name(), " ", len(c.At), ":")
		for j := 0; j < len(c.At) && j < 14; j++ {
			fmt.Printf(" %v=%.4g", c.At[j], c.Value[j])
		}
		fmt.Println()
	}
	fmt.Println("BALANCE", run.Balance)
	require.NoError(t, err)
}
