package main

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/controller"
	"ullage/scenarios/runs"
)

// The shipped suite notices every mistake that the simulated controller can be built with, by an outcome of the
// mistake's own hazard, and complains about no sound variant.
func TestLongChallenge(t *testing.T) {
	var out, errOut bytes.Buffer
	status := execute(context.Background(), []string{"challenge"}, &out, &errOut)
	assert.Equal(t, exitHeld, status, "%s%s", out.String(), errOut.String())
	assert.NotContains(t, out.String(), runs.NoReason, "a scenario that catches no defect says why it is kept")
	for _, d := range controller.Defects() {
		assert.Contains(t, out.String(), "\n"+d.ID+" ", "the matrix has no row for this defect")
	}
	for _, v := range controller.Variants() {
		assert.Contains(t, out.String(), "\n"+v.ID+" ", "the matrix has no row for this variant")
	}
}

func TestChallengeOfSome(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole suite over again; the run of the shipped features shows the races")
	}
	for _, c := range []struct {
		name   string
		args   []string
		status int
		out    string
		err    string
	}{
		{"one defect", []string{"--only", "no-cut-off"}, exitHeld, "1 of 1 defects caught", ""},
		{"one that the selected scenarios do not notice", []string{"--only", "no-cut-off", "--tags", "@good-day"}, exitFailed, "Not caught: no-cut-off", ""},
		{"a misspelt one", []string{"--only", "no-cutoff"}, exitBroken, "", `the nearest is "no-cut-off"`},
		{"tags that select nothing", []string{"--only", "no-cut-off", "--tags", "@hazard-flod"}, exitBroken, "", "did you mean @hazard-flood?"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, errOut bytes.Buffer
			assert.Equal(
				t,
				c.status,
				execute(context.Background(), append([]string{"challenge"}, c.args...), &out, &errOut),
			)
			assert.Contains(t, out.String(), c.out)
			assert.Contains(t, errOut.String(), c.err)
		})
	}
}
