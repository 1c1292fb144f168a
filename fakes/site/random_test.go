package site_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/site"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// drawn is a random site: the entries of each list of its file.
type drawn struct {
	lists  map[string][]string
	valves []string
	static float64 // bar
}

// drawSite draws a tree of pipes, valves and whatever else stands in pipes on one mains, with outlets at its ends, a
// tank that it fills through an air gap, and a pump that feeds a tree of its own from the tank. A monotone site has
// neither regulators nor filters that load up, nor valves with pilots.
func drawSite(t *rapid.T, monotone bool) *drawn {
	d := &drawn{lists: map[string][]string{}, static: rapid.Float64Range(1, 7).Draw(t, "static")}
	d.add(
		"tanks",
		"{name: tank, length: 1 m, width: %.2f m, rim: 900 mm, standpipe: {crest: 800 mm, bore: %d mm}, starts: %d mm}",
		rapid.Float64Range(0.1, 1).Draw(t, "width"),
		rapid.IntRange(15, 50).Draw(t, "overflow"),
		rapid.IntRange(50,
			800).Draw(t, "level"),
	)
	d.add("contacts", "{name: low, in: tank, operates: 250 mm, releases: 300 mm, normally: open}")
	d.add("contacts", "{name: high, in: tank, operates: 700 mm, releases: 650 mm, normally: closed}")
	d.add("meters", "{name: meter, from: mains, capacity: 5 m3/h, per-pulse: 1 L}")
	ends := d.tree(t, "meter", "m", monotone)
	d.add("outlets", "{name: inlet, from: %s, bore: %d mm, height: 1 m, into: tank, air-gap: 50 mm}", ends[0],
		rapid.IntRange(4, 20).Draw(t, "inlet"))
	d.add(
		"pumps",
		"{name: pump, from: tank, curve: [{flow: 0 L/min, head: 25 m}, {flow: 20 L/min, head: 15 m}], dry-below: 60 mm, pull-in: 8 V, drop-out: 3 V, coil: 60 ohm}",
	)
	d.tree(t, "pump", "p", monotone)
	return d
}

func (d *drawn) add(list, entry string, values ...any) {
	d.lists[list] = append(d.lists[list], fmt.Sprintf(entry, values...))
}

// tree draws parts behind a part, an outlet or a drip line at every end, and returns the ends.
func (d *drawn) tree(t *rapid.T, root, prefix string, monotone bool) []string {
	kinds := []string{"pipe", "pipe", "pipe", "valve", "valve", "throttle", "flap"}
	if !monotone {
		kinds = append(kinds, "filter", "regulator")
	}
	names, fed := []string{root}, map[string]bool{}
	for i := range rapid.IntRange(1, 9).Draw(t, prefix+" parts") {
		name, from := fmt.Sprintf("%s%d", prefix, i), rapid.SampledFrom(names).Draw(t, "from")
		kv := rapid.Float64Range(0.2, 6).Draw(t, "kv")
		switch rapid.SampledFrom(kinds).Draw(t, "kind") {
		case "pipe":
			d.add("pipes", "{name: %s, from: %s, length: %.1f m, bore: %.1f mm, height: %.2f m}", name, from,
				rapid.Float64Range(1, 60).Draw(t, "length"), rapid.Float64Range(10, 40).Draw(t, "bore"),
				rapid.Float64Range(0, 3).Draw(t, "height"))
		case "valve":
			d.valves = append(d.valves, name)
			operates := "direct"
			if !monotone {
				operates = rapid.SampledFrom([]string{"direct", "pilot"}).Draw(t, "operates")
			}
			d.add(
				"valves",
				"{name: %s, from: %s, capacity: %.2f m3/h, opens: 500 ms, closes: 1 s, characteristic: diaphragm, operates: %s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}",
				name,
				from,
				kv,
				operates,
			)
		case "filter":
			d.add("filters", "{name: %s, from: %s, capacity: %.2f m3/h, blocks-after: %d L}", name, from, kv,
				rapid.IntRange(500, 50000).Draw(t, "blocks"))
		case "throttle":
			d.add("throttles", "{name: %s, from: %s, capacity: %.2f m3/h, set: %d %%}", name, from, kv,
				rapid.IntRange(10, 100).Draw(t, "set"))
		case "flap":
			d.add("non-return-valves", "{name: %s, from: %s, capacity: %.2f m3/h, opens-at: %.2f bar}", name, from, kv,
				rapid.Float64Range(0, 0.3).Draw(t, "spring"))
		case "regulator":
			d.add("regulators", "{name: %s, from: %s, sets: %.2f bar, capacity: %.2f m3/h}", name, from,
				rapid.Float64Range(0.5, 3).Draw(t, "sets"), kv)
		}
		names, fed[from] = append(names, name), true
	}
	var ends []string
	for i, name := range names {
		if fed[name] {
			continue
		}
		ends = append(ends, name)
		switch rapid.IntRange(0, 2).Draw(t, "end") {
		case 0:
			d.add("outlets", "{name: %sn%d, from: %s, count: %d, flow: 2 L/min, at: 2 bar}", prefix, i, name,
				rapid.IntRange(1, 6).Draw(t, "nozzles"))
		case 1:
			d.add(
				"outlets",
				"{name: %sn%d, from: %s, count: 20, flow: 4 L/h, at: 1 bar, compensates: {from: 0.5 bar, to: 4 bar}, shuts-below: 0.1 bar}",
				prefix,
				i,
				name,
			)
		case 2:
			d.add(
				"laterals",
				"{name: %sl%d, from: %s, lines: 3, emitters: 4, spacing: 500 mm, bore: 13.6 mm, flow: 4 L/h, at: 1 bar}",
				prefix,
				i,
				name,
			)
		}
	}
	return ends
}

// file writes the site file, with other orders of its lists when an order is given. What is printed of the mains is
// rounded first: rounded one by one, its two readings could come a digit nearer to each other, and more pressure at
// rest would be another mains, which loses more.
func (d *drawn) file(static float64, order func(n int) []int) string {
	var b strings.Builder
	static = math.Round(static*1e4) / 1e4
	fmt.Fprintf(
		&b,
		"site: random\nsupplies:\n  - {name: mains, static: %.4f bar, residual: %.4f bar, at: 25 L/min, daily: [{from: \"00:20\", share: 90 %%}, {from: \"00:40\", share: 100 %%, over: 10 min}]}\n",
		static,
		static-0.6,
	)
	var lists []string
	for list := range d.lists {
		lists = append(lists, list)
	}
	slices.Sort(lists)
	for _, list := range lists {
		fmt.Fprintf(&b, "%s:\n", list)
		entries := d.lists[list]
		for i := range entries {
			if order != nil {
				i = order(len(entries))[i]
			}
			fmt.Fprintf(&b, "  - %s\n", entries[i])
		}
	}
	return b.String() + controllerOf(append(slices.Clone(d.valves), "pump"), []string{"low", "high"})
}

// deed is one thing done to a random site.
type deed struct {
	output string
	on     bool
	after  signal.Time
}

func (d *drawn) deeds(t *rapid.T) []deed {
	var list []deed
	for range rapid.IntRange(1, 8).Draw(t, "deeds") {
		list = append(list, deed{rapid.SampledFrom(append(slices.Clone(d.valves), "pump")).Draw(t, "output"),
			rapid.IntRange(0, 3).Draw(t, "on") > 0,
			signal.Time(rapid.Int64Range(1, 1000e9).Draw(t, "ns"))})
	}
	return list
}

func (r *rig) do(deeds []deed, look func(from, until signal.Time)) *signal.Trace {
	for _, x := range deeds {
		r.drive(x.output, x.on)
		from, until := r.now, r.now+x.after
		if look != nil {
			look(from, until)
		}
		r.run(until)
	}
	return r.end()
}

func TestRandomSitesBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawSite(t, false)
		r := open(t, read(t, d.file(d.static, nil)))
		trace := r.do(d.deeds(t), nil)
		out, err := r.site.Balance(trace)
		if errors.Is(err, site.ErrNothingMoved) {
			return
		}
		require.NoError(t, err)
		require.InDelta(t, 0, out, 1e-6, "the water of a random site does not balance")
	})
}

func TestObservingARandomSiteChangesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawSite(rt, false)
		deeds := d.deeds(rt)
		text := d.file(d.static, nil)
		plain := open(rt, read(rt, text)).do(deeds, nil)
		watched := open(rt, read(rt, text))
		looked := watched.do(deeds, func(from, until signal.Time) {
			for k := range signal.Time(100) {
				watched.run(from + (until-from)*k/100)
			}
		})
		same(t, plain, looked, "a random site observed hundreds of times more")
	})
}

// nothing is the size, in SI, below which a pressure, a flow or a volume is what rounding leaves of none, and is not
// compared with itself.
var nothing = map[quantity.Dimension]float64{quantity.Pressure: 1, quantity.Flow: 1e-6, quantity.Volume: 1e-9}

func TestReorderingARandomSiteChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawSite(t, false)
		deeds := d.deeds(t)
		orders := map[int][]int{}
		other := d.file(d.static, func(n int) []int {
			if orders[n] == nil {
				all := make([]int, n)
				for i := range all {
					all[i] = i
				}
				orders[n] = rapid.Permutation(all).Draw(t, "order")
			}
			return orders[n]
		})
		a, b := open(t, read(t, d.file(d.static, nil))), open(t, read(t, other))
		x, y := a.do(deeds, nil), b.do(deeds, nil)
		for i, sig := range x.Signals() {
			j, ok := y.Find(sig.Name())
			require.True(t, ok, "%s is gone when the file is in another order", sig.Name())
			p, q := x.Column(signal.ID(i)), y.Column(j)
			if sig.Shape == signal.Held {
				require.Equal(t, p.Value, q.Value, "%s goes another way when the file is in another order", sig.Name())
				continue
			}
			reach := nothing[sig.Dim]
			for _, v := range p.Value {
				reach = max(reach, v, -v)
			}
			for k := range signal.Time(300) {
				at := a.now * k / 300
				require.InDelta(t, x.At(signal.ID(i), at), y.At(j, at), 1e-9*max(reach, 1e-12),
					"%s differs at %v when the file is in another order", sig.Name(), at)
			}
		}
	})
}

// With every valve open and no regulators, more pressure never brings less water.
func TestMoreSupplyNeverGivesARandomSiteLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawSite(t, true)
		flow := func(static float64) float64 {
			r := open(t, read(t, d.file(static, nil)))
			for _, v := range d.valves {
				r.drive(v, true)
			}
			r.run(10 * signal.Minute) // once the pipes are full
			return r.last("mains.flow")
		}
		less, more := flow(d.static), flow(d.static+rapid.Float64Range(0, 5).Draw(t, "more"))
		require.GreaterOrEqual(t, more, less*(1-1e-9), "more pressure gives less water")
	})
}

func TestHoldingAValveDownNeverRaisesItsFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawSite(t, true)
		ofMains := slices.DeleteFunc(slices.Clone(d.valves), func(v string) bool { return v[0] != 'm' })
		if len(ofMains) == 0 {
			return
		}
		held := rapid.SampledFrom(ofMains).Draw(t, "valve")
		text := d.file(d.static, nil)
		before := 0.0
		for _, share := range []float64{0.02, rapid.Float64Range(0.02, 1).Draw(t, "share"), 1} {
			r := open(t, read(t, text))
			r.open(held, "held shut", share)
			for _, v := range d.valves {
				r.drive(v, true)
			}
			r.run(10 * signal.Minute) // once the pipes are full
			flow := max(0, r.last(held+".flow"))
			require.GreaterOrEqual(t, flow, before*(1-1e-9),
				"open by %v the valve passes less than when it was less open", share)
			before = flow
		}
	})
}

// A mains that is off at times gives nothing meanwhile, whatever is behind it, and the run goes on.
func TestMainsOfARandomSiteThatIsOffGivesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawSite(t, false)
		r := open(t, read(t, d.file(d.static, nil)))
		for _, x := range d.deeds(t) {
			r.drive(x.output, x.on)
			r.run(r.now + x.after/2)
			r.open("mains", "pressure factor", 0)
			require.LessOrEqual(t, r.last("mains.flow"), 1e-12, "water comes from a mains that is off")
			r.run(r.now + x.after/2)
			require.LessOrEqual(t, r.last("mains.flow"), 1e-12, "water comes from a mains that is off")
			r.close("mains", "pressure factor", 0)
		}
		trace := r.end()
		out, err := r.site.Balance(trace)
		if !errors.Is(err, site.ErrNothingMoved) {
			require.NoError(t, err)
			require.InDelta(t, 0, out, 1e-6, "the water of a random site does not balance")
		}
	})
}
