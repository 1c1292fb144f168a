package clock_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/clock"
	"ullage/harness/signal"
)

var (
	_ harness.Clock = (*clock.Virtual)(nil)
	_ harness.Clock = (*clock.Wall)(nil)
)

func TestVirtualTimeDoesNotWait(t *testing.T) {
	var c clock.Virtual
	c.Start()
	began := time.Now()
	require.NoError(t, c.Wait(t.Context(), 100*signal.Day))
	assert.Less(t, time.Since(began), 10*time.Second, "virtual time is waited for")
	assert.Equal(t, 100*signal.Day, c.Now())
	require.NoError(t, c.Wait(t.Context(), signal.Day))
	assert.Equal(t, 100*signal.Day, c.Now(), "a clock does not go back")
}

func TestWallTimeIsWaitedFor(t *testing.T) {
	t.Parallel()
	var c clock.Wall
	assert.Zero(t, c.Now(), "a clock that has not been started stands at 0")
	c.Start()
	for _, at := range []signal.Time{500 * signal.Millisecond, 2 * signal.Second} {
		require.NoError(t, c.Wait(t.Context(), at))
		assert.GreaterOrEqual(t, c.Now(), at, "the moment has not come yet")
	}
	require.NoError(t, c.Wait(t.Context(), signal.Second), "a moment that has passed")
}

func TestWaitsEndWithTheirContext(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]harness.Clock{"virtual": &clock.Virtual{}, "wall": &clock.Wall{}} {
		enough := errors.New("enough")
		ctx, cancel := context.WithCancelCause(context.Background())
		c.Start()
		if name == "virtual" {
			cancel(enough)
		}
		time.AfterFunc(20*time.Millisecond, func() { cancel(enough) })
		assert.ErrorIs(t, c.Wait(ctx, signal.Day), enough, name)
		assert.ErrorIs(t, c.Wait(ctx, 0), enough, "%s: also where there is nothing to wait for", name)
	}
}
