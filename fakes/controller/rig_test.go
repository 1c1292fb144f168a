package controller

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

func seconds(s float64) quantity.DurationValue { return quantity.DurationValue{}.With(s, 0) }
func volts(v float64) quantity.VoltageValue    { return quantity.VoltageValue{}.With(v, 0) }
func ohms(r float64) quantity.ResistanceValue  { return quantity.ResistanceValue{}.With(r, 0) }
func share(f float64) quantity.FractionValue   { return quantity.FractionValue{}.With(f, 0) }

// ternLane is the controller of the shipped site Tern Lane.
func ternLane() (sitefile.Controller, []harness.Terminal) {
	spec := sitefile.Controller{
		Supply: volts(12), ResetsBelow: volts(8.5), Boots: seconds(1.5),
		Board: sitefile.Board{
			Rail:      volts(3.3),
			PullUp:    ohms(10e3),
			Low:       volts(0.8),
			High:      volts(2),
			Bits:      12,
			Impedance: ohms(1e6),
		},
		Terminals: []sitefile.Terminal{
			{
				Terminal: "OUT1",
				Output:   "master",
			}, {Terminal: "OUT2", Output: "sprays"}, {Terminal: "OUT3", Output: "top-up"},
			{Terminal: "OUT4", Output: "drip"}, {Terminal: "OUT5", Output: "pump"},
			{
				Terminal: "IN1",
				Contact:  "tank-low",
			}, {Terminal: "IN2", Contact: "tank-high"}, {Terminal: "IN3", Contact: "tank-spill"},
			{Terminal: "PULSE", Pulse: "meter"}, {Terminal: "AIN", Analogue: "bed-probe"},
		},
		Settings: sitefile.Settings{
			Clock: "Monday 00:00",
			Fill: &sitefile.Fill{Valve: "top-up", With: []string{"master"}, Low: "tank-low", High: "tank-high",
				Debounce: seconds(0.5), LongestRun: seconds(1500), Attempts: 3, Pause: seconds(600)},
			CutOff: &sitefile.CutOff{Contact: "tank-spill", Shuts: []string{"top-up", "master"}},
			Interlock: &sitefile.Interlock{
				Pump:      "pump",
				BlockedBy: "tank-low",
				Debounce:  seconds(1),
				RestartIn: seconds(60),
			},
			Moisture: &sitefile.Moisture{
				Zone:        "sprays",
				With:        []string{"master"},
				Probe:       "bed-probe",
				DryCount:    2854,
				WetCount:    1365,
				StartsBelow: share(0.45),
				StopsAt:     share(0.6),
				Cycle:       seconds(360),
				Soak:        seconds(1200),
				Attempts:    6,
				RestAfter:   seconds(21600),
				Reads:       seconds(1),
				Plausible:   share(0.1),
			},
			Programmes: []sitefile.Programme{
				{Zone: "drip", With: []string{"pump"}, Starts: []string{"06:00", "18:00"}, Run: seconds(1200)},
			},
			Remote: &sitefile.Remote{LongestRun: seconds(900), Zones: []sitefile.RemoteZone{
				{Zone: "sprays", With: []string{"master"}}, {Zone: "drip", With: []string{"pump"}}}},
			FlowAlarms: &sitefile.FlowAlarms{
				Meter:       "meter",
				Counts:      []string{"sprays", "top-up"},
				NoFlowAfter: seconds(60),
				Settles:     seconds(15),
				Pulses:      5,
				Within:      seconds(900),
			},
			Alerts:      sitefile.Alerts{RepeatAfter: seconds(3600), Kept: 16},
			ReportEvery: seconds(900),
		},
	}
	var terminals []harness.Terminal
	for _, t := range spec.Terminals {
		kind := harness.OutputTerminal
		switch {
		case t.Contact != "":
			kind = harness.ContactTerminal
		case t.Pulse != "":
			kind = harness.PulseTerminal
		case t.Analogue != "":
			kind = harness.AnalogueTerminal
		}
		terminals = append(terminals, harness.Terminal{Name: t.Device(), Kind: kind, Normal: t.Contact == "tank-spill"})
	}
	return spec, append(terminals, harness.Terminal{Name: "power", Kind: harness.PowerTerminal})
}

// only keeps the named rules of the settings.
func only(s *sitefile.Settings, rules ...string) {
	all := *s
	*s = sitefile.Settings{Clock: all.Clock, Alerts: all.Alerts}
	for _, rule := range rules {
		switch rule {
		case "fill":
			s.Fill = all.Fill
		case "cut-off":
			s.CutOff = all.CutOff
		case "interlock":
			s.Interlock = all.Interlock
		case "moisture":
			s.Moisture = all.Moisture
		case "programme":
			s.Programmes = all.Programmes
		case "remote":
			s.Remote = all.Remote
		case "flow alarms":
			s.FlowAlarms = all.FlowAlarms
		case "reports":
			s.ReportEvery = all.ReportEvery
		default:
			panic("no rule " + rule)
		}
	}
}

// rig drives a controller: it holds the pins of a site and a network that answers, and writes down what comes out.
type rig struct {
	t         testing.TB
	c         *Controller
	panel     *fault.Panel
	trace     *signal.Trace
	terminals []harness.Terminal
	now       signal.Time
	in        []harness.Pin
	answers   []harness.Frame // on their way, by time
	network   string          // "answers", "refuses", "silent"
	pins      []harness.Pin   // outputs as they are
	log       strings.Builder
	slice     func(now, to signal.Time) signal.Time // where to stop before to; nil: not
	watch     func()                                // after every Advance
}

func newRig(t testing.TB, spec sitefile.Controller, terminals []harness.Terminal, options ...Option) *rig {
	c, err := New(spec, terminals, options...)
	require.NoError(t, err)
	r := &rig{t: t, c: c, panel: fault.NewPanel(), trace: signal.NewTrace(), terminals: terminals, network: "answers"}
	require.NoError(t, harness.OpenController(t.Context(), c, r.trace, r.panel, harness.Draw{}))
	for i := range terminals {
		r.pins = append(r.pins, harness.Open(0, i))
	}
	r.power(12)
	for _, t := range terminals {
		if t.Kind == harness.ContactTerminal || t.Kind == harness.PulseTerminal {
			r.operate(t.Name, false)
		}
	}
	r.moisture(0.8)
	return r
}

func (r *rig) terminal(name string) int {
	i := slices.IndexFunc(r.terminals, func(t harness.Terminal) bool { return t.Name == name })
	require.GreaterOrEqual(r.t, i, 0, "no terminal %q", name)
	return i
}

func (r *rig) pin(name string, volts, slope, ohms float64) {
	r.in = append(r.in, harness.Pin{At: r.now, Terminal: r.terminal(name), Volts: volts, Slope: slope, Ohms: ohms})
}

func (r *rig) open(name string) { r.in = append(r.in, harness.Open(r.now, r.terminal(name))) }

func (r *rig) power(volts float64) { r.pin("power", volts, 0, 0.1) }

func (r *rig) operate(contact string, operated bool) {
	if operated != r.terminals[r.terminal(contact)].Normal {
		r.pin(contact, 0, 0, 1)
	} else {
		r.open(contact)
	}
}

// moisture puts a reading of the Tern Lane probe on its terminal, 1 kΩ behind it.
func (r *rig) moisture(share float64) {
	counts := 2854 + share*(1365-2854)
	r.pin("bed-probe", counts/4095*3.3*(1+1e3/1e6), 0, 1e3)
}

func (r *rig) command(topic, zone string, seconds float64) {
	r.answers = append(
		r.answers,
		harness.Frame{At: r.now, Kind: harness.Command, Topic: topic, Text: zone, Value: seconds},
	)
}

// until lets the controller run, and the network answer.
func (r *rig) until(to signal.Time) {
	for again := true; again; {
		slices.SortStableFunc(r.answers, func(a, b harness.Frame) int { return int(a.At - b.At) })
		n := slices.IndexFunc(r.answers, func(f harness.Frame) bool { return f.At > r.now })
		if n < 0 {
			n = len(r.answers)
		}
		got := r.answers[:n:n]
		r.answers = r.answers[n:]
		stop := to
		if len(r.answers) > 0 {
			stop = min(stop, r.answers[0].At)
		}
		if r.slice != nil {
			stop = r.slice(r.now, stop)
		}
		reached, out, sent, err := r.c.Advance(context.Background(), stop, r.in, got)
		require.NoError(r.t, err)
		require.LessOrEqual(r.t, reached, stop, "ran past the moment it was to stop at")
		require.GreaterOrEqual(r.t, reached, r.now, "went back in time")
		require.False(r.t, reached < stop && len(out)+len(sent) == 0, "stopped early without doing anything")
		r.in, r.now = r.in[:0], reached
		r.note(out, sent)
		if r.watch != nil {
			r.watch()
		}
		again = reached < to || len(out)+len(sent) > 0
	}
}

// rest lets the controller do what is due at the present moment.
func (r *rig) rest() {
	_, out, sent, err := r.c.Advance(context.Background(), r.now, nil, nil)
	require.NoError(r.t, err)
	r.note(out, sent)
}

// note writes down what the controller did and lets the network answer it.
func (r *rig) note(out []harness.Pin, sent []harness.Frame) {
	for _, p := range out {
		require.Equal(r.t, r.now, p.At, "a pin with another time than was reached")
		was := r.pins[p.Terminal].Ohms < 1e9
		r.pins[p.Terminal] = p
		state := "off"
		if p.Ohms < 1e9 {
			state = "on"
			if was || p.Volts != 12 {
				state += fmt.Sprintf(" at %.4g V", p.Volts)
			}
		}
		fmt.Fprintf(&r.log, "  %v %s %s\n", r.now, r.terminals[p.Terminal].Name, state)
	}
	for _, f := range sent {
		require.Equal(r.t, r.now, f.At, "a frame with another time than was reached")
		if f.Kind == harness.Connect {
			fmt.Fprintf(&r.log, "  %v connects\n", r.now)
		} else {
			fmt.Fprintf(&r.log, "  %v %s %d: %s\n", r.now, f.Topic, f.Number, f.Text)
		}
		r.answer(f)
	}
}

func (r *rig) answer(f harness.Frame) {
	switch {
	case r.network == "silent":
	case f.Kind == harness.Connect && r.network == "refuses":
		r.answers = append(r.answers, harness.Frame{At: r.now + signal.Second, Kind: harness.Refused})
	case f.Kind == harness.Connect:
		r.answers = append(r.answers, harness.Frame{At: r.now + 2*signal.Second, Kind: harness.Connected})
	default:
		r.answers = append(
			r.answers,
			harness.Frame{At: r.now + 80*signal.Millisecond, Kind: harness.Acknowledged, Number: f.Number},
		)
	}
}

// isOn tells the state of an output as the site sees it.
func (r *rig) isOn(output string) bool { return r.pins[r.terminal(output)].Ohms < 1e9 }
