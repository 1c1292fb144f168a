package flows_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/cmd/ullage/internal/flows"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// garden is a site of so many valves v1, v2 and so on behind one pipe, each with a nozzle n1, n2.
func garden(t testing.TB, valves int, settings string) *sitefile.Site {
	var v, n strings.Builder
	var outputs []string
	for i := 1; i <= valves; i++ {
		fmt.Fprintf(&v, "  - {name: v%d, from: main, capacity: 3 m3/h, opens: 1 s, closes: 1 s, %s}\n", i, coil)
		fmt.Fprintf(&n, "  - {name: n%d, from: v%d, flow: 5 L/min, at: 2 bar}\n", i, i)
		outputs = append(outputs, fmt.Sprintf("v%d", i))
	}
	return read(t, `supplies: [{name: mains, static: 4 bar, residual: 3 bar, at: 20 L/min}]
pipes: [{name: main, from: mains, length: 20 m, bore: 26 mm}]
valves:
`+v.String()+"outlets:\n"+n.String(), outputs, nil, settings)
}

func names(r *flows.Report) []string {
	var list []string
	for _, s := range r.Sets {
		list = append(list, s.Name)
	}
	return list
}

func TestSets(t *testing.T) {
	tests := []struct {
		name     string
		settings string
		want     []string
	}{
		{"programmes that never overlap", `    programmes:
      - {zone: v1, starts: ["06:00"], run: 10 min}
      - {zone: v2, starts: ["06:10"], run: 10 min}
`, []string{"v1", "v2"}},
		{"programmes that overlap", `    programmes:
      - {zone: v1, starts: ["06:00"], run: 11 min}
      - {zone: v2, starts: ["06:10"], run: 10 min}
`, []string{"v1", "v2", "v1 + v2"}},
		{"one on other days", `    programmes:
      - {zone: v1, starts: ["06:00"], run: 11 min, days: [Monday]}
      - {zone: v2, starts: ["06:10"], run: 10 min, days: [Tuesday, Sunday]}
`, []string{"v1", "v2"}},
		{"over midnight into the new week", `    programmes:
      - {zone: v1, starts: ["23:50"], run: 1 h, days: [Saturday]}
      - {zone: v2, starts: ["00:30"], run: 10 min, days: [Sunday]}
`, []string{"v1", "v2", "v1 + v2"}},
		{"three that overlap in pairs only", `    programmes:
      - {zone: v1, starts: ["06:00"], run: 12 min}
      - {zone: v2, starts: ["06:10"], run: 12 min}
      - {zone: v3, starts: ["06:20"], run: 12 min}
`, []string{"v1", "v2", "v3", "v1 + v2", "v2 + v3"}},
		{"one that may be started remotely at any time", `    programmes:
      - {zone: v1, starts: ["06:00"], run: 10 min}
      - {zone: v2, starts: ["07:00"], run: 10 min}
    remote: {zones: [{zone: v2}], longest-run: 10 min}
`, []string{"v1", "v2", "v1 + v2"}},
		{"one zone by two rules is one set", `    programmes:
      - {zone: v1, with: [v3], starts: ["06:00"], run: 10 min}
    remote: {zones: [{zone: v1, with: [v3]}], longest-run: 10 min}
`, []string{"v1"}},
		{"one zone with and without its companion", `    programmes:
      - {zone: v1, with: [v3], starts: ["06:00"], run: 10 min}
    remote: {zones: [{zone: v1}], longest-run: 10 min}
`, []string{"v1 with v3", "v1 by itself"}},
		{"nothing", "    clock: Monday 00:00\n", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, names(of(t, garden(t, 3, tt.settings))))
		})
	}
}

func TestTooManySets(t *testing.T) {
	var zones []string
	for i := 1; i <= 12; i++ {
		zones = append(zones, fmt.Sprintf("{zone: v%d}", i))
	}
	r := of(t, garden(t, 12, "    remote: {zones: ["+strings.Join(zones, ", ")+"], longest-run: 10 min}\n"))
	require.Len(t, r.Sets, 64)
	require.NotNil(t, r.Left, "sets are left out and the report does not say so")
	assert.Equal(t, r.Left.Computed, 64)
	assert.Equal(t, "v7 + v9", r.Left.From, "the first that is left out")
	assert.NotContains(t, names(r), r.Left.From)
	var page bytes.Buffer
	require.NoError(t, flows.Print(&page, r, quantity.Metric, 0, false))
	assert.Contains(t, page.String(), "There are more than 64 sets: those from v7 + v9 on are left out.")
}

// TestSag: two zones behind one pipe take flow and pressure from each other.
func TestSag(t *testing.T) {
	r := of(t, garden(t, 2, "    remote: {zones: [{zone: v1}, {zone: v2}], longest-run: 10 min}\n"))
	alone, both := set(t, r, "v1"), set(t, r, "v1 + v2")
	n := part(t, both, "n1")
	require.NotNil(t, n.Sag)
	assert.InDelta(t, 1-float64(n.Flow/part(t, alone, "n1").Flow), float64(n.Sag.Flow), 1e-12)
	assert.Greater(t, float64(n.Sag.Flow), 0.02, "the nozzles share a pipe and lose nothing")
	assert.InDelta(t, 1-float64(n.Sag.Pressure), (1-float64(n.Sag.Flow))*(1-float64(n.Sag.Flow)), 1e-6,
		"the flow of a nozzle follows the root of its pressure")
	assert.InDelta(t, float64(part(t, both, "mains").Flow), float64(n.Flow+part(t, both, "n2").Flow), 1e-12,
		"water is lost on the way")
}

// TestMoreZonesNeverGiveMore: in a site without regulators nobody gets more because somebody else runs, and every
// outlet's water comes from the mains.
func TestMoreZonesNeverGiveMore(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		settings := "    remote: {zones: [{zone: v1}, {zone: v2}, {zone: v3}], longest-run: 10 min}\n"
		site := garden(t, 3, settings)
		for i := range site.Outlets {
			site.Outlets[i].Flow.SI = rapid.Float64Range(0.1, 30).Draw(r, "flow of a nozzle, L/min") / 60000
			site.Outlets[i].Exponent = rapid.Float64Range(0.1, 1).Draw(r, "exponent")
			site.Outlets[i].Height.SI = rapid.Float64Range(-5, 20).Draw(r, "height, m")
		}
		site.Pipes[0].Length.SI = rapid.Float64Range(1, 200).Draw(r, "length of the main, m")
		site.Pipes[0].Bore.SI = rapid.Float64Range(0.008, 0.05).Draw(r, "bore of the main, m")
		report, err := flows.Of(t.Context(), site)
		require.NoError(r, err)
		for i := range report.Sets {
			s := &report.Sets[i]
			sum := 0.0
			for _, p := range s.Parts {
				if p.Outlet {
					sum += float64(p.Flow)
				}
				if p.Sag != nil && p.Sag.Flow < -1e-6 {
					r.Fatalf("%s gets %.9g times its flow more with %s open than alone", p.Name, -float64(p.Sag.Flow),
						s.Name)
				}
			}
			require.InDelta(r, float64(part(t, s, "mains").Flow), sum, 1e-9,
				"the mains give something else with %s open than its outlets", s.Name)
		}
	})
}

// Pairs and the worst of the greater sets are listed, and how many of those there are.
func TestPairsAndTheWorst(t *testing.T) {
	r := of(t, garden(t, 4, "    remote: {zones: [{zone: v1}, {zone: v2}, {zone: v3}, {zone: v4}], longest-run: 10 min}\n"))
	assert.Equal(t, []string{"v1", "v2", "v3", "v4", "v1 + v2", "v1 + v3", "v1 + v4", "v2 + v3", "v2 + v4", "v3 + v4",
		"v1 + v2 + v3 + v4"}, names(r))
	assert.Equal(t, 4, r.Others)
	var page bytes.Buffer
	require.NoError(t, flows.Print(&page, r, quantity.Metric, 0, false))
	assert.Contains(t, page.String(), "4 more sets of three zones or more are no worse than the last.")
}
