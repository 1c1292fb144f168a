package harness_test

import (
	"context"
	"errors"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/clock"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// sump finds the one site of these tests, of which the tiny parts look at nothing.
func sump(string) (*sitefile.Site, error) {
	text, err := os.ReadFile("../features/sites/fish-house-sump.yaml")
	if err != nil {
		return nil, err
	}
	return sitefile.Read("fish-house-sump.yaml", text)
}

func makerOf[P any](part P) harness.Maker[P] {
	return harness.Maker[P]{Make: func(context.Context, *harness.Plan) (P, error) { return part, nil }}
}

// tinyMakers make the parts of one tiny stand.
func tinyMakers(d *tiny) harness.Makers {
	return harness.Makers{Site: makerOf[harness.Site](d.site), Network: makerOf[harness.Network](d.network),
		Controller: makerOf[harness.Controller](d.controller)}
}

func TestStandsAreMadeOfTheirMakers(t *testing.T) {
	d := newTiny()
	makers := tinyMakers(d)
	makers.Clock = makerOf[harness.Clock](&clock.Wall{})
	var planned *harness.Plan
	makers.Controller.Make = func(_ context.Context, p *harness.Plan) (harness.Controller, error) {
		planned = p
		return d.controller, nil
	}
	s, err := makers.On(sump).Build(t.Context(),
		&harness.Script{Start: []sitefile.Setting{{Path: "tanks/sump/starts", Text: "100 mm"}}})
	require.NoError(t, err)
	assert.Equal(t, harness.Terminals(planned.Site), planned.Terminals)
	assert.Equal(t, 0.1, planned.Site.Tanks[0].Starts.SI, "the starting state of the script is not in the site")
	assert.Same(t, s.Clock, planned.Clock, "a real controller must wait on the clock of its stand")
	assert.Equal(t, planned.Terminals, s.Terminals)
}

// What was made before something that cannot be made is closed.
func TestAStandThatCannotBeMade(t *testing.T) {
	d := newTiny()
	makers := tinyMakers(d)
	makers.Controller.Make = func(context.Context, *harness.Plan) (harness.Controller, error) {
		return nil, errors.New("no such port")
	}
	makers.Network.Exclusive = true
	stands := makers.On(sump)
	for range 2 { // the second finds the stand free again
		_, err := stands.Build(t.Context(), &harness.Script{})
		require.EqualError(t, err, "no such port")
	}
	assert.Equal(t, 2, d.site.closed, "the site must be closed")
}

// A stand of which there is only one is made again when the one before has been run.
func TestExclusiveStandsComeOneAfterTheOther(t *testing.T) {
	makers := tinyMakers(newTiny())
	assert.False(t, makers.Exclusive())
	makers.Controller.Exclusive = true
	assert.True(t, makers.Exclusive())
	stands := makers.On(sump)
	script := &harness.Script{End: end(s)}
	first, err := stands.Build(t.Context(), script)
	require.NoError(t, err)

	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Millisecond)
	defer cancel()
	_, err = stands.Build(ctx, script)
	require.ErrorIs(t, err, context.DeadlineExceeded, "the stand exists twice at a time")

	made := make(chan error)
	go func() {
		second, err := stands.Build(t.Context(), script)
		if err == nil {
			err = second.Close()
		}
		made <- err
	}()
	_, err = first.Run(t.Context(), script)
	require.NoError(t, err)
	require.NoError(t, <-made)
}

// On the clock of the wall a run of two seconds takes two seconds, and what it records is the same.
func TestARunOnTheWallClock(t *testing.T) {
	t.Parallel()
	script := &harness.Script{End: end(2 * s)}
	var traces [2]signal.Column
	for i, c := range []harness.Clock{nil, &clock.Wall{}} {
		d := newTiny()
		d.site.presses = []signal.Time{s / 2, 3 * s / 2}
		stand := d.stand()
		stand.Clock = c
		began := time.Now()
		run, err := stand.Run(t.Context(), script)
		require.NoError(t, err)
		if c != nil {
			assert.GreaterOrEqual(t, time.Since(began), 2*time.Second, "the run went faster than its clock")
		}
		traces[i] = column(run, "lamp.lit")
	}
	assert.Equal(t, traces[0], traces[1])
}

// A run of hours on the wall clock ends when it is told to.
func TestARunOnTheWallClockStops(t *testing.T) {
	t.Parallel()
	stand := newTiny().stand()
	stand.Clock = &clock.Wall{}
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	_, err := stand.Run(ctx, &harness.Script{End: end(9 * signal.Hour)})
	var stopped *harness.StoppedError
	require.ErrorAs(t, err, &stopped)
	assert.ErrorIs(t, err, context.DeadlineExceeded)
}
