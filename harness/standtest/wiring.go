package standtest

import (
	"ullage/harness"
	q "ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// The terminals of the suite's site, in their order.
const (
	master = iota
	topUp
	drip // nothing ever calls for it
	tankLow
	tankHigh
	tankSpill // closed at rest
	power
)

const resetsBelow = 9 // V

const boots = 2 * signal.Second

// Wiring is what the controllers of the suite are wired to and set up for: a tank with a low, a high and a spill
// contact, filled through two valves.
func Wiring() (sitefile.Controller, []harness.Terminal) {
	volts := func(v float64) q.VoltageValue { return q.VoltageValue{}.With(v, 0) }
	ohms := func(v float64) q.ResistanceValue { return q.ResistanceValue{}.With(v, 0) }
	seconds := func(v float64) q.DurationValue { return q.DurationValue{}.With(v, 0) }
	spec := sitefile.Controller{
		Supply: volts(12), ResetsBelow: volts(resetsBelow), Boots: seconds(boots.Seconds()),
		Board: sitefile.Board{Rail: volts(3.3), PullUp: ohms(10e3), Low: volts(0.8), High: volts(2), Bits: 12,
			Impedance: ohms(1e6)},
		Terminals: []sitefile.Terminal{
			{Terminal: "OUT1", Output: "master"}, {Terminal: "OUT2", Output: "top-up"}, {Terminal: "OUT3",
				Output: "drip"},
			{Terminal: "IN1", Contact: "tank-low"}, {Terminal: "IN2", Contact: "tank-high"}, {Terminal: "IN3",
				Contact: "tank-spill"},
		},
		Settings: sitefile.Settings{
			Fill: &sitefile.Fill{Valve: "top-up", With: []string{"master"}, Low: "tank-low", High: "tank-high",
				Debounce: seconds(0.25), LongestRun: seconds(600), Attempts: 3, Pause: seconds(60)},
			CutOff: &sitefile.CutOff{Contact: "tank-spill", Shuts: []string{"top-up", "master"}},
			Alerts: sitefile.Alerts{Kept: 8},
		},
	}
	return spec, []harness.Terminal{
		{Name: "master", Kind: harness.OutputTerminal},
		{Name: "top-up", Kind: harness.OutputTerminal},
		{Name: "drip", Kind: harness.OutputTerminal},
		{Name: "tank-low", Kind: harness.ContactTerminal},
		{Name: "tank-high", Kind: harness.ContactTerminal},
		{Name: "tank-spill", Kind: harness.ContactTerminal, Normal: true},
		{Name: harness.PowerName, Kind: harness.PowerTerminal},
	}
}

// cue is what happens at the inputs at one moment of the suite's story.
type cue struct {
	at   signal.Time
	pins []harness.Pin
	turn func(*drive) error // turns a knob; nil: none
}

// The moments of the story.
const (
	calls     = 10 * signal.Second  // tank-low operates
	full      = 70 * signal.Second  // tank-high operates
	callsMore = 100 * signal.Second // tank-low operates again, and stays so
	spills    = 120 * signal.Second // tank-spill operates
	drained   = 150 * signal.Second // tank-spill releases
	dark      = 200 * signal.Second // the supply is gone
	light     = 210 * signal.Second // and back
	sags      = 240 * signal.Second // the supply falls by 1 V/s from 12 V
	storyEnds = 260 * signal.Second
	soon      = 5 * signal.Second // within which any controller has reacted to a contact: debounce and much more
)

// story goes through a fill, a spill and two losses of power.
func story() []cue {
	supply := harness.Pin{Terminal: power, Volts: 12, Ohms: 0.1}
	falling := supply
	falling.Slope = -1
	return []cue{
		{at: 0, pins: []harness.Pin{supply, opened(tankLow), opened(tankHigh), closed(tankSpill)}},
		{at: calls, pins: []harness.Pin{closed(tankLow)}},
		{at: 40 * signal.Second, pins: []harness.Pin{opened(tankLow)}},
		{at: full, pins: []harness.Pin{closed(tankHigh)}},
		{at: 75 * signal.Second, pins: []harness.Pin{opened(tankHigh)}},
		{at: callsMore, pins: []harness.Pin{closed(tankLow)}},
		{at: spills, pins: []harness.Pin{opened(tankSpill)}},
		{at: drained, pins: []harness.Pin{closed(tankSpill)}},
		{at: dark, pins: []harness.Pin{harness.Open(0, power)}},
		{at: light, pins: []harness.Pin{supply}},
		{at: sags, pins: []harness.Pin{falling}},
	}
}

func opened(terminal int) harness.Pin { return harness.Open(0, terminal) }
func closed(terminal int) harness.Pin { return harness.Pin{Terminal: terminal, Ohms: 2} }

// fidgeting is the story with further pins every 230 ms, less than the debounce, that read the same as before: other
// resistances and voltages on the same side of the thresholds.
func fidgeting() []cue {
	same := map[bool][]harness.Pin{ // by what is read: high
		false: {{Ohms: 2}, {Ohms: 300}, {Volts: 0.3, Ohms: 5}, {Volts: 0.2, Slope: 0.001, Ohms: 5}},
		true:  {{Ohms: 1e6}, {Volts: 3, Ohms: 100}, {Volts: 3.2, Slope: -0.001, Ohms: 100}, {Volts: 3.3, Ohms: 5}},
	}
	var cues []cue
	last := map[int]harness.Pin{}
	rest := story()
	n := 0
	for at := signal.Time(0); at < storyEnds; at += 230 * signal.Millisecond {
		for len(rest) > 0 && rest[0].at <= at {
			for _, p := range rest[0].pins {
				last[p.Terminal] = p
			}
			cues, rest = append(cues, rest[0]), rest[1:]
		}
		again := cue{at: at}
		for terminal := tankLow; terminal < power; terminal++ {
			p := same[last[terminal].Ohms > 1e9][n%4]
			p.Terminal = terminal
			again.pins = append(again.pins, p)
			n++
		}
		cues = append(cues, again)
	}
	return append(cues, rest...)
}
