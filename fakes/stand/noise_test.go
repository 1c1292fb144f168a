package stand_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// A noisy probe is read with its noise, and its trace stays small: the line without the noise, its root mean square at
// the input, and what the controller has made of each reading.
func TestNoiseDoesNotFillTheTrace(t *testing.T) {
	quiet := day("tern-lane")
	quiet.Start = []sitefile.Setting{{Path: "controller/settings/moisture/starts-below", Text: "1 %"}}
	noisy := *quiet
	noisy.Start = append([]sitefile.Setting{{Path: "probes/bed-probe/noise", Text: "20 mV"}}, quiet.Start...)
	with, without := run(t, &noisy), run(t, quiet)
	rows := func(name string) int { return edges(with, name) }
	assert.Less(t, rows("bed-probe.terminal"), 1000, "each value of the noise is a row of the trace")
	assert.Greater(t, rows("controller.moisture"), 20000, "the controller reads without the noise")
	line, _ := with.Trace.Find("bed-probe.terminal")
	sound, ok := without.Trace.Find("bed-probe.terminal")
	require.True(t, ok)
	for at := signal.Minute; at < signal.Day; at += 7 * signal.Minute {
		require.InDelta(t, without.Trace.At(sound, at), with.Trace.At(line, at), 0.3e-3,
			"the line at %v is not that of the probe", at)
	}
	rms, _ := with.Trace.Find("bed-probe.noise")
	assert.InDelta(t, 20e-3*1e6/1.001e6, with.Trace.At(rms, signal.Hour), 1e-9,
		"1 kohm and 1 Mohm divide the noise as they divide the voltage")
}
