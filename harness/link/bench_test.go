package link

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// BenchmarkExchange is one message and its answer, 10 ms of virtual time each, as a run with something new at each poll
// would need. At least 15,000 a second are asked for.
func BenchmarkExchange(b *testing.B) {
	for name, command := range map[string][]string{"C": {compiled(b)}, "Go": childCommand("polls")} {
		b.Run(name, func(b *testing.B) {
			c := opened(b, command)
			now := signal.Second
			b.ReportAllocs()
			for b.Loop() {
				now += 10 * signal.Millisecond
				for {
					reached, _, _, err := c.Advance(context.Background(), now, nil, nil)
					require.NoError(b, err)
					if reached == now {
						break
					}
				}
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "exchanges/s")
		})
	}
}

// BenchmarkQuietDay is a day in which nothing happens: the program polls 8.64 million times within a few exchanges.
func BenchmarkQuietDay(b *testing.B) {
	c := opened(b, []string{compiled(b)})
	now := signal.Second
	for b.Loop() {
		for end := now + signal.Day; now < end; {
			reached, _, _, err := c.Advance(context.Background(), end, nil, nil)
			require.NoError(b, err)
			now = reached
		}
	}
}

// opened starts a program, opens it and gives it power.
func opened(t testing.TB, command []string, o ...Options) harness.Controller {
	t.Helper()
	spec, terminals := testSpec()
	c, err := Exec(context.Background(), command, spec, terminals, append(o, Options{})[0])
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	require.NoError(t, c.Open(context.Background(), signal.NewTrace(), fault.NewPanel(), harness.Draw{}))
	_, _, _, err = c.Advance(context.Background(), 0, atRest(0), nil)
	require.NoError(t, err)
	return c
}

// atRest is every input of testSpec with its contacts at rest and 12 V of supply.
func atRest(at signal.Time) []harness.Pin {
	return []harness.Pin{harness.Open(at, tankLow), {At: at, Terminal: tankSpill, Ohms: 2}, harness.Open(at, meter),
		{At: at, Terminal: probe, Volts: 1.5, Ohms: 1000}, {At: at, Terminal: power, Volts: 12, Ohms: 0.1}}
}
