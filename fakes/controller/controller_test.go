package controller

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/harness/standtest"
)

func TestNewRefuses(t *testing.T) {
	tests := map[string]struct {
		spoil  func(*sitefile.Controller)
		option Option
		want   string
	}{
		"valve": {
			func(c *sitefile.Controller) { c.Settings.Fill.Valve = "topup" },
			nil,
			`fill: no output terminal has "topup" on it`,
		},
		"contact": {
			func(c *sitefile.Controller) { c.Settings.CutOff.Contact = "meter" },
			nil,
			`cut-off: no contact terminal has "meter" on it`,
		},
		"pump": {
			func(c *sitefile.Controller) { c.Settings.Interlock.Pump = "" },
			nil,
			`interlock: no output terminal has "" on it`,
		},
		"probe": {
			func(c *sitefile.Controller) { c.Settings.Moisture.Probe = "x" },
			nil,
			`moisture rule: no analogue terminal has "x" on it`,
		},
		"calibration": {func(c *sitefile.Controller) { c.Settings.Moisture.WetCount = 2854 }, nil, "both 2854"},
		"reads": {
			func(c *sitefile.Controller) { c.Settings.Moisture.Reads = seconds(0) },
			nil,
			"reads is 0 s, want more than 0 s",
		},
		"clock": {
			func(c *sitefile.Controller) { c.Settings.Clock = "6:30" },
			nil,
			`clock is "6:30", want a day of the week`,
		},
		"start": {
			func(c *sitefile.Controller) { c.Settings.Programmes[0].Starts[0] = "24:00" },
			nil,
			`starts has "24:00", want a time of day`,
		},
		"day": {
			func(c *sitefile.Controller) { c.Settings.Programmes[0].Days = []string{"Mon"} },
			nil,
			`days has "Mon", want a day of the week`,
		},
		"limit": {
			func(c *sitefile.Controller) { c.Settings.Remote.LongestRun = seconds(-1) },
			nil,
			"longest-run is -1 s",
		},
		"meter": {
			func(c *sitefile.Controller) { c.Settings.FlowAlarms.Meter = "tank-low" },
			nil,
			`no pulse terminal has "tank-low"`,
		},
		"pulses": {
			func(c *sitefile.Controller) { c.Settings.FlowAlarms.Pulses = 0 },
			nil,
			"pulses is 0, want 1 at least",
		},
		"kept": {
			func(c *sitefile.Controller) { c.Settings.Alerts.Kept = -1 },
			nil,
			"kept is -1, want 0 at least",
		},
		"rail": {func(c *sitefile.Controller) { c.Board.Rail = volts(0) }, nil, "a rail above 0 V"},
		"terminals": {
			func(c *sitefile.Controller) { c.Terminals = c.Terminals[1:] },
			nil,
			"11 terminals given, want the 9 of the site file and the power terminal",
		},
		"protection": {func(*sitefile.Controller) {}, Without("spill"), `"spill" is not a protection`},
		"polling":    {func(*sitefile.Controller) {}, Polling(0), "polling wants a time above 0"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			spec, terminals := ternLane()
			test.spoil(&spec)
			var options []Option
			if test.option != nil {
				options = append(options, test.option)
			}
			_, err := New(spec, terminals, options...)
			require.ErrorContains(t, err, test.want)
		})
	}
}

// Every mistake is named, not only the first.
func TestNewRefusesAllAtOnce(t *testing.T) {
	spec, terminals := ternLane()
	spec.Settings.Fill.Valve, spec.Settings.Clock = "x", "y"
	_, err := New(spec, terminals)
	require.ErrorContains(t, err, `"x"`)
	require.ErrorContains(t, err, `"y"`)
}

func TestConformance(t *testing.T) {
	spec, terminals := standtest.Wiring()
	for name, options := range map[string][]Option{"by events": nil, "polling": {Polling(50 * signal.Millisecond)}} {
		t.Run(name, func(t *testing.T) {
			err := standtest.Controller(func() (harness.Controller, error) { return New(spec, terminals, options...) })
			require.NoError(t, err)
		})
	}
}

// The controllers of the shipped sites can be built as they are.
func TestShippedSites(t *testing.T) {
	files, err := filepath.Glob("../../features/sites/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		site, err := sitefile.Read(file, text)
		require.NoError(t, err)
		_, err = New(site.Controller, harness.Terminals(site))
		assert.NoError(t, err, file)
	}
}

func TestNewRefusesTwins(t *testing.T) {
	spec, terminals := ternLane()
	terminals[1].Name = "master"
	_, err := New(spec, terminals)
	require.ErrorContains(t, err, `"master" is on two terminals`)
}

func TestAdvanceRefuses(t *testing.T) {
	spec, terminals := ternLane()
	c, err := New(spec, terminals)
	require.NoError(t, err)
	_, _, _, err = c.Advance(context.Background(), 0, nil, nil)
	require.ErrorContains(t, err, "not open")
	require.NoError(t, c.Open(context.Background(), signal.NewTrace(), fault.NewPanel(), harness.Draw{}))
	require.ErrorContains(
		t,
		c.Open(context.Background(), signal.NewTrace(), fault.NewPanel(), harness.Draw{}),
		"opened twice",
	)
	_, _, _, err = c.Advance(context.Background(), signal.Second, nil, nil)
	require.NoError(t, err)
	_, _, _, err = c.Advance(context.Background(), 0, nil, nil)
	require.ErrorContains(t, err, "asked to run until 00:00:00, but it is 00:00:01 already")
	_, _, _, err = c.Advance(context.Background(), signal.Second, []harness.Pin{{At: signal.Second, Terminal: 11}}, nil)
	require.ErrorContains(t, err, "a pin for terminal 11, but there are 11")
	_, _, _, err = c.Advance(context.Background(), signal.Second, []harness.Pin{{At: signal.Minute}}, nil)
	require.ErrorContains(t, err, "a pin of 00:01:00, but it is 00:00:01")
	require.NoError(t, c.Close())
	require.NoError(t, c.Close(), "closing twice is allowed")
	_, _, _, err = c.Advance(context.Background(), signal.Minute, nil, nil)
	require.ErrorContains(t, err, "not open")
}

// Nothing is on before there is power, and Close leaves nothing on.
func TestSafeAtOpenAndClose(t *testing.T) {
	spec, terminals := ternLane()
	c, err := New(spec, terminals)
	require.NoError(t, err)
	require.NoError(t, c.Open(context.Background(), signal.NewTrace(), fault.NewPanel(), harness.Draw{}))
	_, out, sent, err := c.Advance(context.Background(), signal.Day, nil, nil)
	require.NoError(t, err)
	require.Empty(t, out)
	require.Empty(t, sent)
	require.Equal(t, signal.Never, c.next())

	r := newRig(t, spec, terminals)
	r.command(harness.TopicStart, "sprays", 600)
	r.until(5 * signal.Second)
	r.command(harness.TopicStart, "sprays", 600)
	r.until(6 * signal.Second)
	require.True(t, r.isOn("sprays"))
	require.NoError(t, r.c.Close())
	for _, o := range r.c.outputs.list {
		require.False(t, o.on, "%s stays on after Close", o.device)
	}
}

// A supply that sags switches the controller off at the nanosecond at which it is below the level, and one that rises
// begins the boot; an output passes the sagging supply on.
func TestSaggingSupply(t *testing.T) {
	spec, terminals := ternLane()
	only(&spec.Settings, "remote")
	r := newRig(t, spec, terminals)
	r.until(10 * signal.Second)
	r.command(harness.TopicStart, "drip", 600)
	r.until(20 * signal.Second)
	r.pin("power", 12, -0.5, 0.1) // 8.5 V after 7 s
	r.until(21 * signal.Second)
	drip := r.pins[r.terminal("drip")]
	assert.Equal(t, -0.5, drip.Slope)
	assert.InDelta(t, 9, drip.VoltsAt(26*signal.Second), 1e-12)
	r.until(30 * signal.Second)
	r.pin("power", 0, 1, 0.1) // 8.5 V after 8.5 s, running 1.5 s later
	r.until(signal.Minute)
	powered, _ := r.trace.Find("controller.powered")
	column := r.trace.Column(powered)
	assert.Equal(t, []float64{0, 1, 0, 1}, column.Value)
	assert.InDelta(t, float64(27*signal.Second), float64(column.At[2]), 2)
	assert.Greater(t, column.At[2], 27*signal.Second, "off before the supply is below the level")
	assert.InDelta(t, float64(38500*signal.Millisecond), float64(column.At[3]), 2)
	assert.Contains(t, r.log.String(), "00:00:40 connects")
}

// A contact that turns over at the very moment of a start comes first: the pump does not start.
func TestOneMoment(t *testing.T) {
	spec, terminals := ternLane()
	only(&spec.Settings, "programme", "interlock")
	r := newRig(t, spec, terminals)
	falling := harness.Pin{Volts: 3.3, Slope: -0.25, Ohms: 1e3}
	takes := crossing(falling, 0, func(at signal.Time) bool { return !r.c.board.digital.IsHigh(falling, at, true) })
	require.Less(t, takes, signal.Minute)
	r.until(6*signal.Hour - takes)
	r.pin("tank-low", falling.Volts, falling.Slope, falling.Ohms)
	r.until(6*signal.Hour + signal.Minute)
	assert.True(t, r.isOn("drip"), "the programme did not start")
	assert.NotContains(t, r.log.String(), "pump on")
}

// The reading of the probe: a broken lead, a short and the calibration, through the input stage.
func TestMoistureReading(t *testing.T) {
	spec, terminals := ternLane()
	r := newRig(t, spec, terminals)
	for i, share := range []float64{0, 0.25, 0.5, 1} {
		r.moisture(share)
		r.until(signal.Time(i+2) * signal.Minute)
		id, _ := r.trace.Find("controller.moisture")
		assert.InDelta(t, share, r.trace.At(id, r.now), 0.50001/1489, "within half a count of the converter")
	}
	id, _ := r.trace.Find("controller.moisture")
	assert.Less(t, len(r.trace.Column(id).At), 7, "a reading that stays is not recorded again")
}

func TestProtections(t *testing.T) {
	spec, terminals := ternLane()
	can := harness.Abilities{}
	for _, p := range Protections() {
		c, err := New(spec, terminals, Without(p.Takes))
		require.NoError(t, err)
		can = c.Can()
		assert.True(t, can[p.Takes], "the controller claims the ability %q, taken out or not", p.Takes)
		assert.NotEmpty(t, p.Mistake)
	}
	assert.Len(t, can, 20)
}

// Signals and knobs, as they are declared.
func TestDeclares(t *testing.T) {
	spec, terminals := ternLane()
	r := newRig(t, spec, terminals)
	var names []string
	for _, s := range r.trace.Signals() {
		names = append(names, s.Name())
	}
	want := []string{"master.command", "sprays.command", "top-up.command", "drip.command", "pump.command",
		"controller.tank-low operated", "controller.tank-high operated", "controller.tank-spill operated",
		"controller.powered", "controller.filling", "controller.locked out", "controller.moisture"}
	for _, alert := range harness.AlertNames() {
		want = append(want, signal.Controller.Alert(alert).Name())
	}
	assert.Equal(t, append(want, signal.Controller.InternalFault().Name()), names)
	var knobs []string
	for _, k := range r.panel.Knobs() {
		assert.Equal(t, "controller", k.Kind)
		knobs = append(knobs, k.Name)
	}
	assert.Equal(t, []string{"reset", "hang", "watchdog", "pins float", "update", "settings torn", "settings lost",
		"clock step", "clock unset", "counter", "longest run"}, knobs)
}

// day is Tern Lane with a drying bed that is read every second and nothing else going on, up and connected.
func day(t testing.TB) *rig {
	spec, terminals := ternLane()
	spec.Settings.Programmes = nil
	r := newRig(t, spec, terminals)
	r.pin("bed-probe", 1.5, 1e-9, 1e3) // dries a little
	r.until(10 * signal.Second)
	return r
}

func TestWakeDoesNotAllocate(t *testing.T) {
	r := day(t)
	before := r.c.probe.next
	allocations := testing.AllocsPerRun(500, func() {
		r.now += signal.Second
		_, out, sent, err := r.c.Advance(context.Background(), r.now, nil, nil)
		if err != nil || len(out)+len(sent) > 0 {
			t.Fatal("the controller did something in an idle second")
		}
	})
	assert.Zero(t, allocations)
	assert.Equal(t, 501*signal.Second, r.c.probe.next-before, "the probe was not read each second")
}

// BenchmarkWake is one wake of the whole of Tern Lane's rules: a second passes, the probe is read, nothing changes. The
// report each quarter of an hour is part of it.
func BenchmarkWake(b *testing.B) {
	r := day(b)
	ack := []harness.Frame{{Kind: harness.Acknowledged}}
	var got []harness.Frame
	for b.Loop() {
		r.now += signal.Second
		reached, _, sent, err := r.c.Advance(context.Background(), r.now, nil, got)
		got = got[:0]
		if err != nil {
			b.Fatal(err)
		}
		if len(sent) > 0 {
			ack[0].Number = sent[0].Number
			got = ack
		}
		r.now = reached
	}
}

// BenchmarkEdge is one edge of a contact, which makes every rule look.
func BenchmarkEdge(b *testing.B) {
	r := day(b)
	low := r.terminal("tank-low")
	pins := []harness.Pin{{Terminal: low, Ohms: 1}}
	open := harness.Open(0, low)
	for i := 0; b.Loop(); i++ {
		pins[0], open = open, pins[0]
		pins[0].At = r.now
		r.now += 100 * signal.Millisecond
		reached, _, _, err := r.c.Advance(context.Background(), r.now, pins, nil)
		if err != nil {
			b.Fatal(err)
		}
		r.now = reached
	}
}

// A report says what the time is, what was done today and what stands still.
func TestWhatAReportSays(t *testing.T) {
	spec, terminals := ternLane()
	r := newRig(t, spec, terminals)
	r.moisture(0.5)
	r.until(6*signal.Hour + 30*signal.Minute)
	state, tally := r.c.reports.summary, &r.c.tally
	assert.Equal(t, "Monday 06:30: fills today 0, waterings today 0, moisture 50 %", state.text(r.now))
	tally.today(r.now).fills++
	tally.today(r.now).waterings += 2
	state.fill.kept.lockedOut, state.probe.faulty, state.outputs.list[0].on = true, true, true
	assert.Equal(
		t,
		"Monday 06:30: fills today 1, waterings today 2, probe fault, master on, filling locked out",
		state.text(r.now),
	)
	state.fill, state.probe, state.outputs = nil, nil, &outputs{}
	assert.Equal(t, "Tuesday 00:05: fills today 0, waterings today 0", state.text(signal.Day+5*signal.Minute))
}

// It says how it reacts, and what it says holds: a contact that has operated for the debounce opens a valve at once, or
// at the next look.
func TestReacts(t *testing.T) {
	for _, test := range []struct {
		name    string
		options []Option
		want    string
	}{
		{"by events", nil, "polls 0 s, acts-within 0 s, alerts-within 0 s, debounce from 500 ms, debounce to 500 ms, filter 0 s, " +
			"stagger 0 s, back-off least 5 s, back-off most 5 min, resends 10 s, silent-after 30 s"},
		{"polling", []Option{Polling(100 * signal.Millisecond)}, "polls 100 ms, acts-within 100 ms, alerts-within 100 ms, " +
			"debounce from 500 ms, debounce to 600 ms, filter 0 s, stagger 0 s, back-off least 5 s, back-off most 5 min, " +
			"resends 10 s, silent-after 30 s"},
	} {
		spec, terminals := ternLane()
		only(&spec.Settings, "fill")
		r := newRig(t, spec, terminals, test.options...)
		reacts := harness.ReactsOf(r.c, spec)
		assert.Equal(t, test.want, reacts.String(), test.name)
		r.until(signal.Minute + 33*signal.Millisecond)
		r.operate("tank-low", true)
		begins := r.now
		r.until(begins + signal.FromSeconds(reacts.Debounce.From.SI) - signal.Millisecond)
		assert.False(t, r.isOn("top-up"), "%s: sooner than the debounce that it declares", test.name)
		r.until(begins + signal.FromSeconds(reacts.Debounce.To.SI+reacts.ActsWithin.SI) + signal.Millisecond)
		assert.True(t, r.isOn("top-up"), "%s: later than it declares", test.name)
	}
	spec, terminals := driven()
	r := newRig(t, spec, terminals)
	begins := 20 * signal.Second
	list := pulses(r, signal.Minute, event{begins, func(r *rig) { r.command(harness.TopicStart, "sprays", 20) }})
	reacts := r.c.Reacts()
	var opens []signal.Time
	for _, p := range list {
		if p.from >= begins && p.volts > 0 {
			opens = append(opens, p.from)
		}
	}
	require.Len(t, opens, 2, "master and sprays")
	assert.LessOrEqual(t, (opens[0] - begins).Seconds(), reacts.ActsWithin.SI)
	assert.LessOrEqual(t, (opens[1] - opens[0]).Seconds(), reacts.Stagger.SI)
}
