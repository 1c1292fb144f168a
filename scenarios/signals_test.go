package scenarios_test

import (
	"context"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/scenarios"
)

// TestEverySignalIsNamedInOnePlace: what the stands of the shipped scenarios record has its name, dimension and shape
// from package signal, and what that package names is recorded on some stand.
func TestEverySignalIsNamedInOnePlace(t *testing.T) {
	l := shipped(t)
	build := stand.Builder(l.Site, stand.Simulated())
	all, err := l.Select(scenarios.Selection{})
	require.NoError(t, err)
	used := map[string]bool{}
	for _, sc := range all {
		require.Empty(t, sc.Problems, sc.Name)
		script := sc.Script(1)
		site, err := l.Site(script.Site)
		require.NoError(t, err)
		known := named(site, script)
		for _, s := range declared(t, build, script) {
			methods := known[s]
			assert.NotEmpty(t, methods, "%s: %q: %+v is no signal of package signal", sc.File, sc.Name, s)
			for _, method := range methods {
				used[method] = true
			}
		}
	}
	for _, methods := range named(&sitefile.Site{}, &harness.Script{}) {
		for _, method := range methods {
			assert.True(t, used[method], "no shipped scenario records %s", method)
		}
	}
	for _, device := range devices(everything()) {
		each(device, func(method string, _ signal.Signal) {
			assert.True(t, used[method], "no shipped scenario records %s", method)
		})
	}
}

// declared lists the signals of a stand before its time begins to run.
func declared(t *testing.T, build harness.Builder, script *harness.Script) []signal.Signal {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	s, err := build(t.Context(), script)
	require.NoError(t, err)
	run, err := s.Run(ctx, script)
	require.ErrorIs(t, err, context.Canceled)
	return run.Trace.Signals()
}

// named lists the signals that package signal has for a script, each with the methods that give it.
func named(site *sitefile.Site, script *harness.Script) map[signal.Signal][]string {
	known := map[signal.Signal][]string{}
	note := func(method string, s signal.Signal) { known[s] = append(known[s], method) }
	for _, d := range devices(site) {
		each(d, note)
	}
	for _, s := range site.Supplies {
		for _, category := range site.CategoriesBehind(s.Name) {
			name := sitefile.CategoryName(category)
			note("Supply.ReturnOf", signal.Supply(s.Name).ReturnOf(name))
			note("Supply.ReturnedOf", signal.Supply(s.Name).ReturnedOf(name))
		}
	}
	for _, x := range site.Pumps {
		note("Part.Vapour", signal.Part(x.Name).Vapour())
	}
	for _, name := range gates(site) {
		note("Part.Air", signal.Part(name).Air())
	}
	for _, c := range site.Contacts {
		note("Controller.ContactOperated", signal.Controller.ContactOperated(c.Name))
	}
	for _, alert := range harness.AlertNames() {
		note("Controller.Alert", signal.Controller.Alert(alert))
		note("Cloud.Alert", signal.Cloud.Alert(alert))
	}
	for _, a := range script.Acts {
		note("Script.Mark", signal.Script.Mark(a.Mark))
	}
	return known
}

// gates lists the devices behind which the pipes may run empty, up to the next of them.
func gates(site *sitefile.Site) (names []string) {
	for _, x := range site.Supplies {
		names = append(names, x.Name)
	}
	for _, x := range site.Tanks {
		names = append(names, x.Name)
	}
	for _, x := range site.Pumps {
		names = append(names, x.Name)
	}
	for _, x := range site.Valves {
		names = append(names, x.Name)
	}
	for _, x := range site.BackflowPreventers {
		names = append(names, x.Name)
	}
	for _, x := range site.NonReturnValves {
		names = append(names, x.Name)
	}
	return names
}

// devices lists the devices of a site, each as a device of package signal.
func devices(site *sitefile.Site) []any {
	list := []any{signal.Site, signal.Power, signal.Controller, signal.WiFi, signal.Cloud, signal.Script}
	for _, x := range site.Supplies {
		list = append(list, signal.Supply(x.Name))
	}
	for _, x := range site.Tanks {
		list = append(list, signal.Tank(x.Name))
	}
	for _, x := range site.Pumps {
		list = append(list, signal.Pump(x.Name), signal.Output(x.Name))
	}
	for _, x := range site.Valves {
		list = append(list, signal.Valve(x.Name), signal.Output(x.Name))
	}
	for _, x := range site.Pipes {
		list = append(list, signal.Part(x.Name))
	}
	for _, x := range site.Regulators {
		list = append(list, signal.Part(x.Name))
	}
	for _, x := range site.Throttles {
		list = append(list, signal.Part(x.Name))
	}
	for _, x := range site.Laterals {
		list = append(list, signal.Part(x.Name))
	}
	for _, x := range site.Filters {
		list = append(list, signal.Part(x.Name), signal.Filter(x.Name))
	}
	for _, x := range site.Outlets {
		list = append(list, signal.Part(x.Name), signal.Outlet(x.Name))
	}
	for _, x := range site.Beds {
		list = append(list, signal.Bed(x.Name))
	}
	for _, x := range site.Meters {
		list = append(list, signal.Meter(x.Name))
	}
	for _, x := range site.Contacts {
		list = append(list, signal.Contact(x.Name))
	}
	for _, x := range site.Probes {
		list = append(list, signal.Probe(x.Name))
	}
	for _, x := range harness.Terminals(site) {
		if x.Kind == harness.AnalogueTerminal {
			list = append(list, signal.AnalogueTerminal(x.Name))
		} else {
			list = append(list, signal.Terminal(x.Name))
		}
	}
	return list
}

// each calls every method of a device that gives a signal without being asked for more.
func each(device any, do func(method string, s signal.Signal)) {
	v := reflect.ValueOf(device)
	for i := range v.NumMethod() {
		if call, ok := v.Method(i).Interface().(func() signal.Signal); ok {
			do(v.Type().Name()+"."+v.Type().Method(i).Name, call())
		}
	}
}

// everything is a site with one device of each kind.
func everything() *sitefile.Site {
	return &sitefile.Site{
		Supplies: make([]sitefile.Supply, 1), Tanks: make([]sitefile.Tank, 1), Pumps: make([]sitefile.Pump, 1),
		Valves: make([]sitefile.Valve, 1), Pipes: make([]sitefile.Pipe, 1), Filters: make([]sitefile.Filter, 1),
		Outlets: make([]sitefile.Outlet, 1), Beds: make([]sitefile.Bed, 1), Meters: make([]sitefile.Meter, 1),
		Contacts: make([]sitefile.Contact, 1), Probes: make([]sitefile.Probe, 1),
	}
}
