package controller

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// driven is Tern Lane with latching valves at master and sprays and a motorised one at drip.
func driven() (sitefile.Controller, []harness.Terminal) {
	spec, terminals := ternLane()
	spec.Settings.FlowAlarms = nil
	terminals[0].Drive, terminals[1].Drive, terminals[3].Drive = sitefile.Latching, sitefile.Latching, sitefile.Motorised
	spec.Drivers = &sitefile.Drivers{
		Storage:        quantity.CapacitanceValue{}.With(22e-3, 0),
		ChargesThrough: ohms(47),
		Coil:           ohms(6),
		Pulse:          seconds(0.05),
		DrivesFor:      seconds(15),
		OnPowerLoss:    "shuts",
		ShutsBelow:     volts(9),
	}
	return spec, terminals
}

// pulse is one stretch of current at an output.
type pulse struct {
	device string
	from   signal.Time
	volts  float64
	length signal.Time
}

// pulses plays a controller until a moment and lists what latching and motorised outputs were given.
func pulses(r *rig, until signal.Time, events ...event) []pulse {
	var list []pulse
	began := map[string]pulse{}
	look := func() {
		for i, t := range r.terminals {
			if t.Kind != harness.OutputTerminal || t.Drive == "" {
				continue
			}
			p, on := r.pins[i], began[t.Name].device != ""
			switch {
			case p.Ohms < 1e9 && !on:
				began[t.Name] = pulse{device: t.Name, from: r.now, volts: p.Volts}
			case p.Ohms > 1e9 && on:
				was := began[t.Name]
				was.length = r.now - was.from
				list = append(list, was)
				delete(began, t.Name)
			}
		}
	}
	r.watch = look
	for _, e := range events {
		r.until(e.at)
		e.do(r)
	}
	r.until(until)
	return list
}

const ms = signal.Millisecond

// A small capacitor empties in a curve; what the output tells of it keeps to that.
func TestAPulseKeepsToTheCurve(t *testing.T) {
	spec, terminals := driven()
	spec.Drivers.Storage = spec.Drivers.Storage.With(3.3e-3, 0)
	r := newRig(t, spec, terminals)
	for r.pins[r.terminal("master")].Ohms > 1e9 { // until the first pulse, that which shuts
		require.Less(t, r.now, 10*signal.Second, "no pulse")
		r.until(r.now + ms)
	}
	began, full := r.pins[r.terminal("master")].At, r.pins[r.terminal("master")].Volts
	for after := ms; after < 50*ms; after += ms {
		r.until(began + after)
		got := r.pins[r.terminal("master")].VoltsAt(r.now)
		want := full * math.Exp(-after.Seconds()/(6.2*3.3e-3))
		require.InDelta(t, want, got, 0.006*12, "%v into the pulse", after)
	}
}

// At its boot the controller knows nothing of valves that stay as they are: it shuts each. Pulses come one after
// another, when the capacitor is charged.
func TestAtBootEverythingIsShut(t *testing.T) {
	spec, terminals := driven()
	list := pulses(newRig(t, spec, terminals), signal.Minute)
	require.Len(t, list, 3)
	charge := signal.FromSeconds(47 * 22e-3 * math.Log(20)) // from nothing to 95 %
	assert.Equal(t, "master", list[0].device)
	assert.InDelta(t, charge.Seconds(), list[0].from.Seconds(), 1e-6, "RC ln 20 after the power came")
	assert.InDelta(t, -0.95*12, list[0].volts, 1e-6)
	assert.Equal(t, 50*ms, list[0].length)
	left := 0.95 * 12 * math.Exp(-0.05/(6.2*22e-3))
	assert.Equal(t, "sprays", list[1].device)
	assert.InDelta(
		t,
		47*22e-3*math.Log((12-left)/0.6),
		(list[1].from - list[0].from - 50*ms).Seconds(),
		1e-6,
		"charged again after the first pulse",
	)
	assert.Equal(t, pulse{"drip", 1500 * ms, -12, 15 * signal.Second}, list[2])
}

// A remote run of the sprays, with the master: pulses open both and shut both, and the command lasts in between.
func TestPulsesOpenAndShut(t *testing.T) {
	spec, terminals := driven()
	r := newRig(t, spec, terminals)
	list := pulses(
		r,
		10*signal.Minute,
		event{signal.Minute, func(r *rig) { r.command(harness.TopicStart, "sprays", 120) }},
	)
	require.Len(t, list, 7)
	for i, want := range []struct {
		device string
		opens  bool
	}{{"master", true}, {"sprays", true}, {"master", false}, {"sprays", false}} {
		p := list[3+i]
		assert.Equal(t, want.device, p.device)
		assert.Equal(t, want.opens, p.volts > 0, "polarity of %s", p.device)
		assert.Equal(t, 50*ms, p.length)
	}
	id, _ := r.trace.Find("sprays.command")
	c := r.trace.Column(id)
	require.Equal(t, []float64{0, 1, 0}, c.Value)
	assert.InDelta(t, 120, (c.At[2] - c.At[1]).Seconds(), 2.5, "the command lasts from pulse to pulse")
}

// Without power the capacitor shuts what is open, if it is set up so.
func TestOnPowerLoss(t *testing.T) {
	for _, how := range []string{"shuts", "stays"} {
		spec, terminals := driven()
		spec.Drivers.OnPowerLoss = how
		r := newRig(t, spec, terminals)
		list := pulses(r, 5*signal.Minute,
			event{signal.Minute, func(r *rig) { r.command(harness.TopicStart, "sprays", 600) }},
			event{2 * signal.Minute, func(r *rig) { r.open("power") }})
		id, _ := r.trace.Find("sprays.command")
		assert.Zero(t, r.trace.At(id, 3*signal.Minute), "a controller without power holds nothing to be open")
		if how == "stays" {
			assert.Len(t, list, 5, "pulses without power")
			continue
		}
		require.Len(t, list, 7)
		assert.Equal(t, "master", list[5].device)
		assert.Equal(t, 2*signal.Minute, list[5].from)
		assert.Negative(t, list[5].volts)
		assert.Equal(t, "sprays", list[6].device)
		assert.InDelta(
			t,
			list[5].volts*math.Exp(-0.05/(6.2*22e-3)),
			list[6].volts,
			1e-6,
			"the second pulse has what the first has left",
		)
	}
}

func TestAMotorStopsWithThePower(t *testing.T) {
	spec, terminals := driven()
	list := pulses(newRig(t, spec, terminals), 2*signal.Minute,
		event{signal.Minute, func(r *rig) { r.command(harness.TopicStart, "drip", 600) }},
		event{65 * signal.Second, func(r *rig) { r.open("power") }},
		event{70 * signal.Second, func(r *rig) { r.power(12) }})
	var drips []pulse
	for _, p := range list {
		if p.device == "drip" {
			drips = append(drips, p)
		}
	}
	require.Len(t, drips, 3)
	assert.Equal(t, pulse{"drip", signal.Minute, 12, 5 * signal.Second}, drips[1])
	assert.Equal(
		t,
		pulse{"drip", 71500 * ms, -12, 15 * signal.Second},
		drips[2],
		"and after the boot it is turned shut",
	)
}

// Below 9 V latching valves are shut, and not opened again before 9.45 V.
func TestKeepsChargeToShut(t *testing.T) {
	for _, without := range []bool{false, true} {
		spec, terminals := driven()
		var options []Option
		if without {
			options = append(options, Without(harness.KeepsCharge))
		}
		r := newRig(t, spec, terminals, options...)
		id := func() signal.ID { i, _ := r.trace.Find("sprays.command"); return i }
		list := pulses(r, 4*signal.Minute,
			event{signal.Minute, func(r *rig) { r.command(harness.TopicStart, "sprays", 600) }},
			event{2 * signal.Minute, func(r *rig) { r.pin("power", 10, -0.1, 0.1) }},
			event{2*signal.Minute + 11*signal.Second, func(r *rig) { r.power(8.9) }},
			event{3 * signal.Minute, func(r *rig) { r.power(9.4) }},
			event{3*signal.Minute + 20*signal.Second, func(r *rig) { r.power(9.5) }})
		assert.Equal(t, 1.0, r.trace.At(id(), 2*signal.Minute+9*signal.Second))
		if without {
			assert.Equal(t, 1.0, r.trace.At(id(), 3*signal.Minute))
			continue
		}
		assert.Zero(t, r.trace.At(id(), 2*signal.Minute+12*signal.Second), "below 9 V it is shut")
		assert.Zero(
			t,
			r.trace.At(id(), 3*signal.Minute+10*signal.Second),
			"a supply that recovers a little opens nothing",
		)
		assert.Equal(t, 1.0, r.trace.At(id(), 4*signal.Minute), "a good supply does")
		alert, _ := r.trace.Find("controller.alert low battery")
		assert.Equal(
			t,
			[]signal.Time{130*signal.Second + 1},
			r.trace.Column(alert).At,
			"the alert, at the moment of 9 V",
		)
		assert.Len(t, list, 9)
	}
}

// Where Advance stops changes nothing for pulses either.
func TestPulsesDoNotDependOnSlices(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		events := happenings(rt)
		seed := rapid.Uint64().Draw(rt, "seed")
		whole := runOn(t, driven, events, func(*rig) {})
		sliced := runOn(t, driven, events, func(r *rig) { cutUp(r, seed) })
		require.Equal(rt, whole.log.String(), sliced.log.String(), "pulses depend on where Advance stops")
	})
}

func TestAControllerWithoutLatchingOutputsHasNoStore(t *testing.T) {
	spec, terminals := ternLane()
	c, err := New(spec, terminals)
	require.NoError(t, err)
	require.NoError(t, c.Open(context.Background(), signal.NewTrace(), fault.NewPanel(), harness.Draw{}))
	assert.Zero(t, c.latching.store.at(signal.Hour))
	assert.Equal(t, signal.Never, c.driversWake())
}

// The capacitor against V = Vs - (Vs - V0) exp(-t/RC) and V0 exp(-t/RC), by hand, and the moment at which it is charged
// for a pulse against the moment at which it is.
func TestTheStoreFollowsItsSupply(t *testing.T) {
	s := store{farads: 22e-3, through: 47, bleeds: 10e3, coil: 6}
	s.feel(0, 9)
	for _, at := range []signal.Time{0, signal.Second, 3 * signal.Second} {
		assert.InDelta(t, 9-9*math.Exp(-at.Seconds()/(47*22e-3)), s.at(at), 1e-9, "charging, at %v", at)
	}
	assert.InDelta(t, charged*9, s.at(s.ready()), 1e-6, "the moment at which it is ready")
	full := s.at(signal.Minute)
	s.feel(signal.Minute, 5)
	for _, after := range []signal.Time{0, 10 * signal.Second, 100 * signal.Second} {
		assert.InDelta(
			t,
			full*math.Exp(-after.Seconds()/(10e3*22e-3)),
			s.at(signal.Minute+after),
			1e-9,
			"bleeding, %v after the supply fell",
			after,
		)
	}
	assert.Equal(t, 5.0, s.at(signal.Hour), "it has bled below its supply")
	assert.InDelta(t, 9*math.Exp(-0.05/((6+driverResistance)*22e-3)), s.after(9, 0.05), 1e-9, "what a pulse leaves")
}
