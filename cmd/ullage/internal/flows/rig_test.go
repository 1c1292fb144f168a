package flows_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/cmd/ullage/internal/flows"
	"ullage/harness/sitefile"
)

// coil is what every valve and pump of a test is driven by.
const coil = "pull-in: 8 V, drop-out: 3 V, coil: 60 ohm"

// read makes a site of its water, its outputs with their terminals, and its settings.
func read(t testing.TB, water string, outputs, contacts []string, settings string) *sitefile.Site {
	t.Helper()
	var terminals strings.Builder
	for i, o := range outputs {
		fmt.Fprintf(&terminals, "    - {terminal: OUT%d, output: %s}\n", i+1, o)
	}
	for i, c := range contacts {
		fmt.Fprintf(&terminals, "    - {terminal: IN%d, contact: %s}\n", i+1, c)
	}
	site, err := sitefile.Read("test.yaml", []byte("site: test\n"+water+`
controller:
  supply: 12 V
  resets-below: 8 V
  boots: 1 s
  board: {rail: 3.3 V, pull-up: 10 kohm, low: 0.8 V, high: 2 V, bits: 12, impedance: 1 Mohm}
  terminals:
`+terminals.String()+"  settings:\n"+settings))
	require.NoError(t, err)
	return site
}

func of(t testing.TB, site *sitefile.Site) *flows.Report {
	t.Helper()
	r, err := flows.Of(t.Context(), site)
	require.NoError(t, err)
	return r
}

// set finds a set of a report by its name.
func set(t testing.TB, r *flows.Report, name string) *flows.Set {
	t.Helper()
	var names []string
	for i := range r.Sets {
		if r.Sets[i].Name == name {
			return &r.Sets[i]
		}
		names = append(names, r.Sets[i].Name)
	}
	require.Fail(t, "no such set", "%q is not among %q", name, names)
	return nil
}

// part finds a part of a set by its name.
func part(t testing.TB, s *flows.Set, name string) *flows.Part {
	t.Helper()
	for i := range s.Parts {
		if s.Parts[i].Name == name {
			return &s.Parts[i]
		}
	}
	require.Fail(t, "no such part", "no %q while %s is open", name, s.Name)
	return nil
}
