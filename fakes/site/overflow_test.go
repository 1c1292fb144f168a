package site_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/site"
	"ullage/harness/signal"
)

// sump is 0.02 m² with a 40 mm standpipe: its level comes to rest with a time constant below a second.
func sump(starts string) string {
	return `site: sump
tanks:
  - {name: sump, length: 200 mm, width: 100 mm, rim: 420 mm, standpipe: {crest: 340 mm, bore: 40 mm}, starts: ` + starts + `}
` + controllerOf(nil, nil)
}

// The depth over a standpipe at a steady flow. Coefficients 0.62 of the weir and 0.60 of the orifice (handbook.csv rows
// SP1 to SP5 of testdata/reference/hydraulics: 40 mm bore; flow in L/min at a depth in mm).
func TestStandpipeStandsAtTheWeirEquation(t *testing.T) {
	for _, c := range []struct{ flow, depth float64 }{
		{4.87968611, 5}, {13.8018366, 10}, {40.0698481, 40},
	} {
		t.Run(fmt.Sprintf("%g L/min", c.flow), func(t *testing.T) {
			r := open(t, read(t, sump("300 mm")))
			r.open("sump", "inflow", c.flow*litrePerMinute)
			r.run(2 * signal.Hour)
			r.end()
			assert.InDelta(t, 0.340+c.depth/1e3, r.last("sump.level"), 1e-5,
				"the water stands at another height over the standpipe")
			assert.InDelta(t, c.flow*litrePerMinute, r.last("sump.overflow"), 1e-9, "what comes in must run off")
		})
	}
}

// The level must come to its height from below without going over it, and the steps must grow to minutes once it is
// there.
func TestStiffSumpNeitherOvershootsNorCrawls(t *testing.T) {
	r := open(t, read(t, sump("300 mm")))
	r.open("sump", "inflow", 13.8018366*litrePerMinute)
	r.run(6 * signal.Hour)
	r.end()
	id, _ := r.trace.Find("sump.level")
	c := r.trace.Column(id)
	longest := signal.Time(0)
	for i := range c.At {
		require.LessOrEqual(t, c.Value[i], 0.350+1e-5, "the level goes over its steady height at %v", c.At[i])
		if i > 0 {
			require.GreaterOrEqual(t, c.Value[i], c.Value[i-1]-1e-9,
				"the level falls at %v although it has yet to rise", c.At[i])
			longest = max(longest, c.At[i]-c.At[i-1])
		}
	}
	assert.Less(t, len(c.At), 200, "a sump at rest takes too many steps")
	assert.Greater(t, longest, 600*signal.Second, "steps of ten minutes must hold when nothing changes")
}

// filled is a tank of 0.5 m² into which much water comes at a time.
func TestOverflowComesFirstThroughTheStandpipeThenOverTheRim(t *testing.T) {
	for _, c := range []struct {
		name       string
		open, flow float64 // share; L/min
		spills     bool
	}{
		{"the standpipe carries it", 1, 30, false},
		{"half blocked it carries half of that", 0.5, 15, false},
		{"more than it carries", 1, 120, true},
		{"blocked", 0, 30, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := open(t, read(t, tankOnly("790 mm")))
			r.open("tank", "standpipe", c.open)
			r.open("tank", "inflow", c.flow*litrePerMinute)
			r.run(signal.Hour)
			r.end()
			carried := c.open * math.Pi / 4 * 0.04 * 0.04 * 0.6 * math.Sqrt(2*9.80665*0.08) // at the height of the rim
			over := c.flow*litrePerMinute - r.last("tank.overflow")
			assert.InDelta(t, over, r.last("tank.spill"), 1e-8,
				"what the standpipe does not carry must run over the rim")
			assert.Equal(t, c.spills, r.last("tank.spilled") > 1e-6,
				"spilled %g m³, and the standpipe carries %g m³/s at the rim", r.last("tank.spilled"), carried)
			assert.GreaterOrEqual(t, r.last("tank.overflow"), math.Min(carried, c.flow*litrePerMinute)-1e-9,
				"the standpipe carries too little")
			assert.InDelta(t, r.last("tank.overflowed")+r.last("tank.spilled"), r.last("site.lost"), 1e-9,
				"the water that the site has lost")
			first := func(name string) signal.Time {
				id, _ := r.trace.Find(name)
				column := r.trace.Column(id)
				for i, v := range column.Value {
					if v > 1e-9 {
						return column.At[i]
					}
				}
				return signal.Never
			}
			if c.open > 0 {
				assert.Less(t, first("tank.overflowed"), first("tank.spilled"), "the rim comes before the standpipe")
			}
		})
	}
}

// piped is a tank of 0.02 m² with an overflow pipe through its wall: bore 40 mm, 2 m of run, into a drain.
const piped = `site: sump
tanks:
  - {name: sump, length: 200 mm, width: 100 mm, rim: 420 mm, starts: 300 mm,
     side-outlet: {invert: 340 mm, bore: 40 mm, run: 2 m, fall: 50 mm, drain: 20 L/min}}
`

// 7.37 L/min stand 19 mm over the invert (overflows.csv), where an upright pipe carries 28 L/min; then the drain backs
// up, the water rises until the rest goes over the rim, and clears again.
func TestSideOutletCarriesLittleAndItsDrainBacksUp(t *testing.T) {
	r := open(t, read(t, piped+controllerOf(nil, nil)))
	const inflow = 7.37 * litrePerMinute
	r.open("sump", "inflow", inflow)
	r.run(2 * signal.Hour)
	assert.InDelta(t, 0.359, r.last("sump.level"), 1e-4)
	r.open("sump", "drain", 5*litrePerMinute)
	r.run(4 * signal.Hour)
	atRim := 5 * math.Sqrt(1+0.08/0.05) * litrePerMinute // more than comes in
	require.Greater(t, atRim, inflow)
	assert.InDelta(t, 0.340+0.05*(math.Pow(7.37/5, 2)-1), r.last("sump.level"), 1e-4, "water stands in the drain")
	r.open("sump", "drain", 2*litrePerMinute)
	r.run(6 * signal.Hour)
	assert.InDelta(t, 2*math.Sqrt(1+(r.last("sump.level")-0.340)/0.05)*litrePerMinute, r.last("sump.overflow"), 1e-6)
	assert.InDelta(t, inflow, r.last("sump.spill")+r.last("sump.overflow"), 1e-9)
	assert.Greater(t, r.last("sump.spilled"), 0.1, "over the rim")
	r.open("sump", "drain", 0)
	r.run(7 * signal.Hour)
	assert.Zero(t, r.last("sump.overflow"), "a drain that takes nothing")
	r.close("sump", "drain", 5*litrePerMinute)
	r.close("sump", "drain", 2*litrePerMinute)
	r.close("sump", "drain", 0)
	r.run(9 * signal.Hour)
	r.end()
	assert.InDelta(t, 0.359, r.last("sump.level"), 1e-4, "clear again")
	out, err := site.Balance(r.spec, r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-9)
}
