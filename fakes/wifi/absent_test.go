package wifi_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/wifi"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Whoever tries to join a network that is out of range is refused, each time, and hears nothing else.
func TestOutOfRange(t *testing.T) {
	a := wifi.OutOfRange(sitefile.WiFi{})
	trace := signal.NewTrace()
	require.NoError(t, a.Open(t.Context(), trace, fault.NewPanel(), harness.Draw{}))
	assert.Empty(t, trace.Signals(), "there is no access point that could record anything")
	assert.Equal(t, signal.Never, a.Next())
	connect := harness.Frame{Kind: harness.Connect}
	for _, step := range []struct {
		at   signal.Time
		sent []harness.Frame
		got  int
	}{
		{0, []harness.Frame{connect}, 0},
		{signal.Second, []harness.Frame{{Kind: harness.Publish, Number: 1}, connect}, 0},
		{2 * signal.Second, nil, 0}, // the first attempt has been followed by another
		{3 * signal.Second, nil, 1},
		{signal.Hour, nil, 0},
	} {
		got, err := a.Advance(t.Context(), step.at, step.sent)
		require.NoError(t, err)
		assert.Len(t, got, step.got, "frames at %v", step.at)
		for _, f := range got {
			assert.Equal(t, harness.Frame{At: step.at, Kind: harness.Refused}, f)
		}
	}
	assert.Equal(t, signal.Never, a.Next())
	assert.NoError(t, a.Close())
}
