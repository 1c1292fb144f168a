package site_test

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/site"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// shippedSites are the names of the sites that are shipped.
var shippedSites = func() []string {
	files, _ := filepath.Glob("../../features/sites/*.yaml")
	for i, f := range files {
		files[i] = strings.TrimSuffix(filepath.Base(f), ".yaml")
	}
	return files
}()

// outputs lists the devices at the outputs of a site's controller.
func outputs(spec *sitefile.Site) []string {
	var list []string
	for _, t := range spec.Controller.Terminals {
		if t.Output != "" {
			list = append(list, t.Output)
		}
	}
	return list
}

// busy switches the outputs on and off in turn, for a step of time each.
func busy(r *rig, step signal.Time, rounds int) {
	for i := range rounds {
		for j, name := range outputs(r.spec) {
			r.drive(name, (i+j)%3 != 0)
			r.run(r.now + step)
		}
	}
}

func TestShippedSitesRunAndBalance(t *testing.T) {
	for _, name := range shippedSites {
		t.Run(name, func(t *testing.T) {
			r := open(t, shipped(t, name))
			busy(r, 97*signal.Second, 13)
			r.run(r.now + signal.Hour)
			r.end()
			out, err := r.site.Balance(r.trace)
			require.NoError(t, err)
			assert.InDelta(t, 0, out, 1e-6, "the water of %s does not balance", name)
		})
	}
}

func TestNothingMovedIsNoBalance(t *testing.T) {
	r := open(t, read(t, tankOnly("600 mm")))
	r.run(signal.Hour)
	_, err := site.Balance(r.spec, r.end())
	assert.True(t, errors.Is(err, site.ErrNothingMoved),
		"a run in which nothing moves says nothing about the balance; got %v", err)
}

func TestSameRunSameBytes(t *testing.T) {
	for _, name := range shippedSites {
		a, b := open(t, shipped(t, name)), open(t, shipped(t, name))
		busy(a, 61*signal.Second, 4)
		busy(b, 61*signal.Second, 4)
		same(t, a.end(), b.end(), "the same run of "+name+" once more")
	}
}

// Asking a site where it stands must not move it: a thousand instants more, the same trace to the bit.
func TestObservingChangesNothing(t *testing.T) {
	for _, name := range shippedSites {
		t.Run(name, func(t *testing.T) {
			plain, watched := open(t, shipped(t, name)), open(t, shipped(t, name))
			for i := range 3 {
				for j, out := range outputs(plain.spec) {
					on := (i+j)%3 != 0
					plain.drive(out, on)
					watched.drive(out, on)
					from, until := plain.now, plain.now+83*signal.Second
					plain.run(until)
					for k := range signal.Time(200) {
						watched.run(from + (until-from)*k/200 + k*7919%1000)
					}
					watched.run(until)
				}
			}
			same(t, plain.end(), watched.end(), "observed a thousand times more")
		})
	}
}

// The order of the lists in a site file is the writer's affair.
func TestReorderingTheSiteFileChangesNothing(t *testing.T) {
	reverse := func(s *sitefile.Site) {
		slices.Reverse(s.Pipes)
		slices.Reverse(s.Valves)
		slices.Reverse(s.Outlets)
		slices.Reverse(s.Contacts)
		slices.Reverse(s.Meters)
		slices.Reverse(s.Filters)
		slices.Reverse(s.Regulators)
	}
	for _, name := range shippedSites {
		t.Run(name, func(t *testing.T) {
			other := shipped(t, name)
			reverse(other)
			require.NoError(t, other.Check())
			a, b := open(t, shipped(t, name)), open(t, other)
			busy(a, 61*signal.Second, 3)
			busy(b, 61*signal.Second, 3)
			x, y := a.end(), b.end()
			for i, sig := range x.Signals() {
				j, ok := y.Find(sig.Name())
				require.True(t, ok)
				p, q := x.Column(signal.ID(i)), y.Column(j)
				if sig.Shape == signal.Held {
					require.Equal(t, p.Value, q.Value, "%s goes another way when the file is in another order",
						sig.Name())
					continue
				}
				reach := 1e-12
				for _, v := range p.Value {
					reach = max(reach, v, -v)
				}
				for at := signal.Time(0); at <= a.now; at += signal.Second {
					require.InDelta(t, x.At(signal.ID(i), at), y.At(j, at), 1e-9*reach,
						"%s differs at %v when the file is in another order", sig.Name(), at)
				}
			}
		})
	}
}

// A window that gives a knob the value it has at rest, and one that ends where it begins, leave no mark.
func TestSeverityZeroIsTheFaultlessRun(t *testing.T) {
	for _, name := range shippedSites {
		plain := open(t, shipped(t, name))
		busy(plain, 31*signal.Second, 2)
		want := plain.end()
		for _, k := range plain.panel.Knobs() {
			t.Run(name+" "+k.Device+" "+k.Name, func(t *testing.T) {
				r := open(t, shipped(t, name))
				for i := range 2 {
					for j, out := range outputs(r.spec) {
						if i == 0 && j == 1 {
							r.open(k.Device, k.Name, k.Rest)
						}
						other := k.Min
						if other == k.Rest {
							other = k.Max
						}
						require.NoError(t, r.panel.Open(r.now, k.Device, k.Name, other))
						require.NoError(t, r.panel.Close(r.now, k.Device, k.Name, other))
						r.drive(out, (i+j)%3 != 0)
						r.run(r.now + 31*signal.Second)
					}
				}
				same(t, want, r.end(), "knob "+k.Name+" of "+k.Device+" opened with its rest value")
			})
		}
	}
}

// Whatever was turned: when it is let go the device is as it was, so that a site which has come to rest again goes on
// like one that was never touched.
func TestReleasedKnobsRestore(t *testing.T) {
	const at, until = 10 * signal.Second, 20 * signal.Second
	for _, k := range open(t, shipped(t, "tern-lane")).panel.Knobs() {
		value := k.Min
		if value == k.Rest {
			value = k.Max
		}
		if k.Dim == quantity.Flow {
			value = 1e-4 // moves no contact
		}
		t.Run(k.Device+" "+k.Name, func(t *testing.T) {
			r := open(t, shipped(t, "tern-lane"))
			r.run(at)
			r.open(k.Device, k.Name, value)
			r.run(until)
			r.close(k.Device, k.Name, value)
			now, err := r.panel.Find(k.Device, k.Name)
			require.NoError(t, err)
			r.run(signal.Minute)
			r.drive("master", true)
			r.drive("sprays", true)
			r.run(3 * signal.Minute)
			r.end()
			assert.Equal(t, k.Rest, now.Rest)
			plain := open(t, shipped(t, "tern-lane"))
			plain.run(signal.Minute)
			plain.drive("master", true)
			plain.drive("sprays", true)
			plain.run(3 * signal.Minute)
			plain.end()
			for _, name := range []string{"sprays.flow", "mains.pressure", "sprays.disc", "tank-low.closed",
				"tank-high.closed", "bed-probe.pressure"} {
				if _, ok := plain.trace.Find(name); ok {
					assert.InDelta(t, plain.last(name), r.last(name), 1e-9*(1+plain.last(name)),
						"%s is not what it was after the knob was let go", name)
				}
			}
		})
	}
}

func TestOverlappingWindowsCommute(t *testing.T) {
	type window struct {
		device, knob string
		value        float64
	}
	windows := []window{{"mains", "pressure factor", 0.5}, {"tank-high", "bounce time", 0.2}, {"tank-high",
		"bounce edges", 8}, {"tank-high", "jam", 1},
		{"sprays", "held open", 0.4}, {"header-tank", "draw", 1e-4}, {"mains", "pressure factor", 0.9}, {"header-tank",
			"draw", 3e-5}, {"bed-probe", "lead", 5e4}}
	run := func(order []int) *signal.Trace {
		r := open(t, shipped(t, "tern-lane"))
		r.drive("master", true)
		r.drive("sprays", true)
		r.run(30 * signal.Second)
		for _, i := range order {
			require.NoError(t, r.panel.Open(r.now, windows[i].device, windows[i].knob, windows[i].value))
		}
		r.advance(r.now)
		r.run(signal.Minute)
		r.drive("sprays", false)
		for _, i := range order {
			require.NoError(t, r.panel.Close(r.now, windows[i].device, windows[i].knob, windows[i].value))
		}
		r.advance(r.now)
		r.run(2 * signal.Minute)
		return r.end()
	}
	want := run([]int{0, 1, 2, 3, 4, 5, 6, 7, 8})
	for _, order := range [][]int{{8, 7, 6, 5, 4, 3, 2, 1, 0}, {3, 1, 4, 0, 8, 5, 2, 6, 7}} {
		same(t, want, run(order), "windows opened in another order")
	}
}

// Water is neither made nor lost whatever is done to a site.
func TestRandomActsBalance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.SampledFrom(shippedSites).Draw(rt, "site")
		r := open(rt, shipped(rt, name))
		knobs := r.panel.Knobs()
		type opened struct {
			k fault.Knob
			v float64
		}
		var windows []opened
		for range rapid.IntRange(1, 12).Draw(rt, "acts") {
			switch rapid.IntRange(0, 2).Draw(rt, "what") {
			case 0:
				r.drive(rapid.SampledFrom(outputs(r.spec)).Draw(rt, "output"), rapid.Bool().Draw(rt, "on"))
			case 1:
				k := rapid.SampledFrom(knobs).Draw(rt, "knob")
				top := k.Max
				if k.Dim == quantity.Flow {
					top = 2e-3
				}
				v := rapid.OneOf(rapid.Float64Range(k.Min, top), rapid.SampledFrom([]float64{k.Min, k.Rest, top,
					max(k.Min, 1e-9), max(k.Min, 1e-200)})).Draw(rt, "value")
				r.open(k.Device, k.Name, v)
				windows = append(windows, opened{k, v})
			case 2:
				if len(windows) > 0 {
					w := windows[len(windows)-1]
					windows = windows[:len(windows)-1]
					r.close(w.k.Device, w.k.Name, w.v)
				}
			}
			r.run(r.now + signal.Time(rapid.Int64Range(1, 1200e9).Draw(rt, "ns")))
		}
		r.end()
		out, err := site.Balance(r.spec, r.trace)
		if errors.Is(err, site.ErrNothingMoved) {
			return
		}
		require.NoError(rt, err)
		assert.InDelta(rt, 0, out, 1e-6, "the water does not balance")
		for _, tank := range r.spec.Tanks {
			id, _ := r.trace.Find(tank.Name + ".level")
			for i, level := range r.trace.Column(id).Value {
				require.GreaterOrEqual(rt, level, -1e-8, "%s holds less than nothing at %v", tank.Name,
					r.trace.Column(id).At[i])
			}
		}
	})
}
