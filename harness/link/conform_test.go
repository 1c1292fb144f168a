package link

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	simulated "ullage/fakes/controller"
	"ullage/harness"
	"ullage/harness/standtest"
)

// The same suite judges a controller of each kind: simulated in this process, and a program of its own.
func TestBothKindsConform(t *testing.T) {
	spec, terminals := standtest.Wiring()
	t.Run("simulated", func(t *testing.T) {
		require.NoError(t, standtest.Controller(func() (harness.Controller,
			error) {
			return simulated.New(spec, terminals)
		}))
	})
	t.Run("example in C", func(t *testing.T) {
		program := compiled(t)
		require.NoError(t, standtest.Controller(func() (harness.Controller, error) {
			return Exec(context.Background(), []string{program}, spec, terminals, Options{})
		}))
	})
}
