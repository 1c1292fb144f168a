package main

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFaults(t *testing.T) {
	for _, c := range []struct {
		name   string
		args   []string
		status int
		out    string // that the output contains
		err    string
	}{
		{"the catalogue by target", nil, exitHeld, "valve.stuck-open", ""},
		{"by hazard", []string{"--by", "hazard"}, exitHeld, "\ndry running\n", ""},
		{"one whole", []string{"valve.stuck-open"}, exitHeld, "Mechanism\n", ""},
		{"by a complaint", []string{"--symptom", "tank overflowed overnight"}, exitHeld, "1. valve stuck open (valve.stuck-open)\n", ""},
		{"a misspelt ID", []string{"valve.stuck-opn"}, exitBroken, "", `the nearest is "valve.stuck-open"`},
		{"an order that is none", []string{"--by", "colour"}, exitBroken, "", "expected target or hazard"},
		{"a complaint like nothing", []string{"--symptom", "xyzzy"}, exitBroken, "", "no fault of the catalogue"},
		{"a blank complaint", []string{"--symptom", " "}, exitBroken, "", "expected what was seen"},
		{"two IDs", []string{"valve.stuck-open", "coil.open"}, exitBroken, "", "expected at most one ID"},
		{"both at once", []string{"valve.stuck-open", "--symptom", "wet"}, exitBroken, "", "not both"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, errOut bytes.Buffer
			status := execute(context.Background(), append([]string{"faults"}, c.args...), &out, &errOut)
			assert.Equal(t, c.status, status)
			assert.Contains(t, out.String(), c.out)
			assert.Contains(t, errOut.String(), c.err)
		})
	}
}

func TestFaultsAsJSON(t *testing.T) {
	var out, errOut bytes.Buffer
	require.Equal(
		t,
		exitHeld,
		execute(context.Background(), []string{"faults", "contact.bounce", "--json"}, &out, &errOut),
	)
	var entries []map[string]any
	require.NoError(t, json.Unmarshal(out.Bytes(), &entries))
	require.Len(t, entries, 1)
	assert.Equal(t, "contact.bounce", entries[0]["id"])
	assert.Equal(t, "contact", entries[0]["device_kind"])
}
